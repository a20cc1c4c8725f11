//! Whose turn it is: of the requests of one page to one address only the newest matters.

use super::api_error::ApiError;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use tokio::sync::watch;

/// Pages times addresses that are remembered; the one heard of longest ago is forgotten.
const REMEMBERED: usize = 512;

/// The newest ticket of each page at each address.
#[derive(Debug, Default)]
pub struct Turns(Mutex<Vec<Line>>);

#[derive(Debug)]
struct Line {
    session: String,
    address: &'static str,
    newest: watch::Sender<u64>,
}

/// A request's claim to be answered. Dropped when nobody waits for the answer any more.
#[derive(Debug)]
pub struct Turn {
    ticket: u64,
    newest: watch::Receiver<u64>,
    left: Arc<AtomicBool>,
}

/// What long work looks at now and then: does anybody still want the result?
#[derive(Clone, Debug)]
pub struct Claim {
    ticket: u64,
    newest: watch::Receiver<u64>,
    left: Arc<AtomicBool>,
}

impl Turns {
    /// Takes the turn of a ticket.
    ///
    /// # Errors
    /// [`ApiError::Superseded`]: a newer ticket came first.
    pub fn take(&self, session: &str, address: &'static str, ticket: u64) -> Result<Turn, ApiError> {
        // The list is whole at every moment: a panic elsewhere cannot have left it half changed.
        let mut lines = self.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        let known = lines.iter().position(|line| line.session == session && line.address == address);
        let line = match known {
            Some(at) => lines.remove(at),
            None => Line { session: session.to_owned(), address, newest: watch::channel(ticket).0 },
        };
        line.newest.send_if_modified(|newest| {
            let newer = ticket > *newest;
            *newest = ticket.max(*newest);
            newer
        });
        let newest = line.newest.subscribe();
        let superseded = *newest.borrow() > ticket;
        if lines.len() >= REMEMBERED {
            lines.remove(0);
        }
        lines.push(line);
        if superseded {
            return Err(ApiError::Superseded);
        }
        Ok(Turn { ticket, newest, left: Arc::default() })
    }
}

impl Turn {
    /// Comes back when a newer ticket has superseded this one.
    pub async fn superseded(&mut self) {
        let ticket = self.ticket;
        if self.newest.wait_for(|newest| *newest > ticket).await.is_err() {
            // The page is forgotten: nobody can supersede any more.
            std::future::pending::<()>().await;
        }
    }

    /// For the work that is done in this turn.
    #[must_use]
    pub fn wanted(&self) -> Claim {
        Claim { ticket: self.ticket, newest: self.newest.clone(), left: Arc::clone(&self.left) }
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        self.left.store(true, Ordering::Relaxed);
    }
}

impl Claim {
    /// # Errors
    /// [`ApiError::Superseded`] when nobody wants the result any more.
    pub fn check(&self) -> Result<(), ApiError> {
        if self.left.load(Ordering::Relaxed) || *self.newest.borrow() > self.ticket {
            return Err(ApiError::Superseded);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn newer_tickets_overtake_within_a_page_and_an_address() {
        let turns = Turns::default();
        let first = turns.take("page", "/a", 1).unwrap();
        let wanted = first.wanted();
        let _elsewhere = turns.take("page", "/b", 9).unwrap();
        let _other = turns.take("other", "/a", 9).unwrap();
        wanted.check().unwrap();
        let second = turns.take("page", "/a", 2).unwrap();
        assert_eq!(wanted.check(), Err(ApiError::Superseded));
        assert_eq!(turns.take("page", "/a", 1).unwrap_err(), ApiError::Superseded);
        second.wanted().check().unwrap();
    }

    #[test]
    fn work_that_nobody_waits_for_is_not_wanted() {
        let turn = Turns::default().take("page", "/a", 1).unwrap();
        let wanted = turn.wanted();
        wanted.check().unwrap();
        drop(turn);
        assert_eq!(wanted.check(), Err(ApiError::Superseded));
    }

    #[test]
    fn pages_are_forgotten_in_the_end() {
        let turns = Turns::default();
        for i in 0..3 * REMEMBERED {
            let _turn = turns.take(&format!("page{i}"), "/a", 1).unwrap();
        }
        assert_eq!(turns.0.lock().unwrap().len(), REMEMBERED);
    }
}
