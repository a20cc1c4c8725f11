//! Who may ask, and what a browser may do with the answers.
//!
//! The page has no password: what keeps other sites out is that they cannot name this server. A site that points its own
//! name at the loopback address (DNS rebinding) sends that name as Host and is refused; a form or script of another site
//! sends its Origin and is refused; and no answer may be framed, sniffed, kept or read across sites.

use super::api_error::{ApiError, Forbidden};
use super::carried::CARRIERS;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HOST, HeaderMap, HeaderName, HeaderValue, ORIGIN,
    REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{Method, Uri};
use std::net::{IpAddr, Ipv6Addr, SocketAddr};

/// What the page may load and do: its own files and addresses, pictures made in the browser, nothing inline. `wire` is the
/// WebSocket address of this server under the name that was asked for: not every browser counts it to `'self'`.
fn policy(wire: &str) -> String {
    format!(
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'{wire}; \
         font-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )
}

/// The address that the server listens on, as the only one it answers to.
#[derive(Clone, Copy, Debug)]
pub struct Guard {
    local: SocketAddr,
}

/// The name part of `name`, `name:port` or `[v6]:port`, and the port.
fn split(authority: &str) -> Option<(&str, u16)> {
    const DEFAULT_PORT: u16 = 80;
    if let Some(rest) = authority.strip_prefix('[') {
        let (name, rest) = rest.split_once(']')?;
        return match rest.strip_prefix(':') {
            Some(port) => Some((name, port.parse().ok()?)),
            None => rest.is_empty().then_some((name, DEFAULT_PORT)),
        };
    }
    match authority.split_once(':') {
        Some((name, port)) => Some((name, port.parse().ok()?)),
        None => Some((authority, DEFAULT_PORT)),
    }
}

impl Guard {
    /// A guard of the server that listens there.
    #[must_use]
    pub fn new(local: SocketAddr) -> Self {
        Self { local }
    }

    /// Whether this server goes by that name. On the loopback address those are its three usual names. On another address
    /// it is any plain number: a number cannot be pointed elsewhere, a name can.
    fn is_own(&self, authority: &str) -> bool {
        let Some((name, port)) = split(authority) else { return false };
        let known = if self.local.ip().is_loopback() {
            let number = name.parse::<IpAddr>();
            name.eq_ignore_ascii_case("localhost")
                || name == "127.0.0.1"
                || number == Ok(IpAddr::V6(Ipv6Addr::LOCALHOST))
                || number == Ok(self.local.ip())
        } else {
            name.eq_ignore_ascii_case("localhost") || name.parse::<IpAddr>().is_ok()
        };
        known && port == self.local.port()
    }

    /// Judges the head of a request.
    ///
    /// # Errors
    /// [`ApiError::Forbidden`] for a wrong Host or Origin, [`ApiError::WrongType`] for a body of another type than its address takes.
    pub fn check(&self, method: &Method, uri: &Uri, headers: &HeaderMap) -> Result<(), ApiError> {
        let text = |name: &HeaderName| {
            let mut all = headers.get_all(name).iter();
            match (all.next(), all.next()) {
                (None, _) => Ok(None),
                (Some(one), None) => one.to_str().map(Some).map_err(|_| ()),
                (Some(_), Some(_)) => Err(()),
            }
        };
        let wrong_host = ApiError::from(Forbidden::Name);
        let wrong_origin = ApiError::from(Forbidden::Site);
        let host = match text(&HOST) {
            Ok(Some(host)) if self.is_own(host) => host,
            _ => return Err(wrong_host),
        };
        // A request may name its server in its first line as well.
        if uri.authority().is_some_and(|authority| !self.is_own(authority.as_str())) {
            return Err(wrong_host);
        }
        match text(&ORIGIN) {
            Ok(None) => {}
            // The very name that is asked for: another number on the same port is another site.
            Ok(Some(origin))
                if origin.strip_prefix("http://").is_some_and(|own| own.eq_ignore_ascii_case(host)) => {}
            _ => return Err(wrong_origin),
        }
        match text(&HeaderName::from_static("sec-fetch-site")) {
            Ok(None | Some("same-origin" | "none")) => {}
            // A link on another page may lead here; it may not ask for more than the page.
            Ok(Some(_)) if *method == Method::GET && !uri.path().starts_with("/api/") => {}
            _ => return Err(wrong_origin),
        }
        if *method == Method::POST {
            // Either could come from no form of another site: a browser asks about it first.
            let wanted =
                if CARRIERS.contains(&uri.path()) { "application/octet-stream" } else { "application/json" };
            let is_wanted = text(&CONTENT_TYPE).ok().flatten().is_some_and(|kind| {
                kind.split(';').next().is_some_and(|kind| kind.trim().eq_ignore_ascii_case(wanted))
            });
            if !is_wanted {
                return Err(ApiError::WrongType);
            }
        }
        Ok(())
    }
}

/// Headers that every answer carries. `host` as the request names it, if it passed the guard.
pub fn add_headers(headers: &mut HeaderMap, host: Option<&HeaderValue>) {
    let wire =
        host.and_then(|host| host.to_str().ok()).map_or_else(String::new, |host| format!(" ws://{host}"));
    // The name of a guarded request is one of this server's own: it always makes a header.
    if let Ok(policy) = HeaderValue::try_from(policy(&wire)) {
        headers.insert(CONTENT_SECURITY_POLICY, policy);
    }
    let fixed = [
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (CACHE_CONTROL, "no-store"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (HeaderName::from_static("x-frame-options"), "DENY"),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn guard(local: &str) -> Guard {
        Guard::new(local.parse().unwrap())
    }

    fn status(guard: Guard, method: Method, path: &str, headers: &[(&'static str, &'static str)]) -> u16 {
        let mut map = HeaderMap::new();
        for (name, value) in headers {
            map.append(HeaderName::from_static(name), HeaderValue::from_static(value));
        }
        guard.check(&method, &path.parse().unwrap(), &map).map_or_else(|error| error.status(), |()| 200)
    }

    #[test]
    fn only_its_own_names_reach_it() {
        let guard = guard("127.0.0.1:8080");
        for host in ["127.0.0.1:8080", "localhost:8080", "LOCALHOST:8080", "[::1]:8080"] {
            assert_eq!(status(guard, Method::GET, "/", &[("host", host)]), 200, "{host}");
        }
        for host in [
            "127.0.0.1",
            "127.0.0.1:8081",
            "evil.example:8080",
            "localhost.evil.example:8080",
            "",
            "[::1:8080",
            "127.0.0.2:8080",
        ] {
            assert_eq!(status(guard, Method::GET, "/", &[("host", host)]), 403, "{host}");
        }
        assert_eq!(status(guard, Method::GET, "/", &[]), 403);
        let twice = [("host", "localhost:8080"), ("host", "evil.example")];
        assert_eq!(status(guard, Method::GET, "/", &twice), 403);
        let host = [("host", "localhost:8080")];
        assert_eq!(status(guard, Method::GET, "http://evil.example/", &host), 403);
    }

    #[test]
    fn an_address_given_on_purpose_goes_by_numbers() {
        let guard = guard("0.0.0.0:8080");
        assert_eq!(status(guard, Method::GET, "/", &[("host", "192.168.1.7:8080")]), 200);
        assert_eq!(status(guard, Method::GET, "/", &[("host", "bench.example:8080")]), 403);
        let from = |origin| {
            let headers = [("host", "192.168.1.7:8080"), ("origin", origin)];
            status(guard, Method::GET, "/api/wire", &headers)
        };
        assert_eq!(from("http://192.168.1.7:8080"), 200);
        assert_eq!(from("http://203.0.113.5:8080"), 403, "another machine on the same port");
    }

    #[test]
    fn other_sites_are_refused() {
        let guard = guard("127.0.0.1:8080");
        let host = ("host", "127.0.0.1:8080");
        let json = ("content-type", "application/json; charset=utf-8");
        let ask = |more: &[(&'static str, &'static str)]| {
            let all: Vec<_> = [host, json].into_iter().chain(more.iter().copied()).collect();
            status(guard, Method::POST, "/api/solve", &all)
        };
        assert_eq!(ask(&[]), 200);
        assert_eq!(ask(&[("origin", "http://127.0.0.1:8080"), ("sec-fetch-site", "same-origin")]), 200);
        for origin in [
            "http://evil.example",
            "null",
            "https://127.0.0.1:8080",
            "http://127.0.0.1:80",
            "http://127.0.0.1:8080.evil.example",
        ] {
            assert_eq!(ask(&[("origin", origin)]), 403, "{origin}");
        }
        assert_eq!(ask(&[("sec-fetch-site", "cross-site")]), 403);
        let link = [host, ("sec-fetch-site", "cross-site")];
        assert_eq!(status(guard, Method::GET, "/", &link), 200);
        assert_eq!(status(guard, Method::GET, "/api/start", &link), 403);
        assert_eq!(status(guard, Method::POST, "/api/solve", &[host, ("content-type", "text/plain")]), 415);
        assert_eq!(status(guard, Method::POST, "/api/solve", &[host]), 415);
        for address in CARRIERS {
            let sent = |kind| status(guard, Method::POST, address, &[host, ("content-type", kind)]);
            assert_eq!(
                ["application/octet-stream", "application/json", "text/plain"].map(sent),
                [200, 415, 415],
                "{address}"
            );
        }
    }
}
