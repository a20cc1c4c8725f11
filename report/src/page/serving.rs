//! What the server of the page says on the terminal where it was started.

/// It cannot start.
pub const NO_START: &str = "the server could not start";
/// It cannot listen on its address.
pub const NO_LISTENING: &str = "cannot listen";
/// It is reached from other machines.
pub const OPEN_TO_ALL: &str = "warning: anybody who reaches this address can use the page; it has no password. Without \
                               --address only this machine can.\n";
/// The desktop has no browser.
pub const NO_BROWSER: &str = "note: no browser could be started; open the address by hand.\n";

/// Where the page is.
#[must_use]
pub fn address(address: &str) -> String {
    format!("The page is at {address}\nCtrl-C ends it.\n")
}

/// It cannot be served: what could not be done, where, and the words of the system.
#[must_use]
pub fn failed(what: &str, address: &str, why: &str) -> String {
    format!("{what} on {address}: {why}\n  hint: choose another --port, or leave it out for a free one")
}
