//! The addresses under which a server is reached: what is printed must be something that one can type.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, UdpSocket};

/// Where a server is reached.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// From other machines, the likeliest first; empty when there is no network, or when only this machine may ask.
    pub by_others: Vec<SocketAddr>,
    /// On this machine.
    pub here: SocketAddr,
}

/// Where a server that listens there is reached. `both`: its socket answers both kinds of address.
#[must_use]
pub fn reached(local: SocketAddr, both: bool) -> Reached {
    if !local.ip().is_unspecified() {
        let by_others = if local.ip().is_loopback() { Vec::new() } else { vec![local] };
        return Reached { by_others, here: local };
    }
    let at = |ip| SocketAddr::new(ip, local.port());
    let here = match local.ip() {
        IpAddr::V4(_) => Ipv4Addr::LOCALHOST.into(),
        IpAddr::V6(_) => Ipv6Addr::LOCALHOST.into(),
    };
    // A machine whose list cannot be read still has the address by which it goes out.
    let all = if_addrs::get_if_addrs().unwrap_or_default();
    let own =
        all.iter().filter(|one| !one.is_loopback() && !one.is_link_local()).map(if_addrs::Interface::ip);
    let any = Ipv4Addr::UNSPECIFIED.into();
    let both = both && local.is_ipv6();
    let mut ips: Vec<IpAddr> =
        both.then(|| outward(any)).flatten().into_iter().chain(outward(local.ip())).collect();
    for ip in own.filter(|ip| both || ip.is_ipv4() == local.is_ipv4()) {
        if !ips.contains(&ip) {
            ips.push(ip);
        }
    }
    Reached { by_others: ips.into_iter().map(at).collect(), here: at(here) }
}

/// The address by which this machine goes out: of a socket that is given a far end. Nothing is sent.
fn outward(from: IpAddr) -> Option<IpAddr> {
    /// Addresses that are kept for documentation: nobody's, and so always beyond the next router.
    const FAR: [IpAddr; 2] =
        [IpAddr::V4(Ipv4Addr::new(192, 0, 2, 1)), IpAddr::V6(Ipv6Addr::new(0x2001, 0xdb8, 0, 0, 0, 0, 0, 1))];
    let far = FAR.into_iter().find(|far| far.is_ipv4() == from.is_ipv4())?;
    let socket = UdpSocket::bind((from, 0)).ok()?;
    socket.connect((far, 9)).ok()?;
    let ip = socket.local_addr().ok()?.ip();
    (!ip.is_loopback() && !ip.is_unspecified()).then_some(ip)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(local: &str) -> Reached {
        reached(local.parse().unwrap(), false)
    }

    #[test]
    fn an_address_of_ones_own_is_told_as_it_is() {
        for (local, others) in [("127.0.0.1:7855", 0), ("[::1]:7855", 0), ("192.168.1.7:80", 1)] {
            let told = of(local);
            assert_eq!((told.here, told.by_others.len()), (local.parse().unwrap(), others), "{local}");
        }
    }

    #[test]
    fn a_socket_of_both_kinds_tells_addresses_of_both() {
        let local = "[::]:7855".parse().unwrap();
        let told = |both| reached(local, both).by_others.iter().filter(|one| one.is_ipv4()).count();
        let older = reached("0.0.0.0:7855".parse().unwrap(), false).by_others.len();
        assert_eq!((told(false), told(true)), (0, older));
    }

    #[test]
    fn all_addresses_are_told_one_by_one() {
        for local in ["0.0.0.0:7855", "[::]:7855"] {
            let told = of(local);
            assert!(told.here.ip().is_loopback(), "{told:?}");
            for one in &told.by_others {
                assert!(
                    one.port() == 7855 && !one.ip().is_loopback() && !one.ip().is_unspecified(),
                    "{told:?}"
                );
                // It is this machine's: one can listen there.
                UdpSocket::bind((one.ip(), 0)).unwrap();
            }
        }
    }
}
