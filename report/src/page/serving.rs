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

/// Where the page is: the address that one types first, others of this machine, and the usual port if something else holds it.
#[must_use]
pub fn addresses(first: &str, others: &[String], taken: Option<u16>) -> String {
    let mut text = format!("The page is at {first}\n");
    for other in others {
        text.push_str(&format!("also at {other}\n"));
    }
    if let Some(port) = taken {
        text.push_str(&format!("Port {port}, the usual one, is taken; this is a free one.\n"));
    }
    text.push_str("Ctrl-C ends it.\n");
    text
}

/// It cannot be served: what could not be done, where, and the words of the system.
#[must_use]
pub fn failed(what: &str, address: &str, why: &str) -> String {
    format!("{what} on {address}: {why}\n  hint: choose another --port, or --port 0 for a free one")
}
