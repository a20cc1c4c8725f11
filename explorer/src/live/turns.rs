//! Whose turn it is: of the requests of one page to one address only the newest matters.

use super::api_error::ApiError;
use super::under_way::{Progress, UnderWay};
use report::pull_so_far::PullSoFar;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};
use study::{CaseError, Step, Watch};
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
    /// What the newest one waits for, as long as anybody works on it.
    work: Weak<UnderWay>,
}

/// A request's claim to be answered. Dropped when nobody waits for the answer any more.
#[derive(Debug)]
pub struct Turn {
    ticket: u64,
    newest: watch::Receiver<u64>,
    left: Arc<AtomicBool>,
    work: Arc<UnderWay>,
}

/// What long work looks at now and then: does anybody still want the result?
#[derive(Clone, Debug)]
pub struct Claim {
    ticket: u64,
    newest: watch::Receiver<u64>,
    left: Arc<AtomicBool>,
    work: Arc<UnderWay>,
}

impl Turns {
    /// Takes the turn of a ticket.
    ///
    /// # Errors
    /// [`ApiError::Superseded`]: a newer ticket came first.
    pub fn take(&self, session: &str, address: &'static str, ticket: u64) -> Result<Turn, ApiError> {
        let mut lines = self.open();
        let known = lines.iter().position(|line| line.session == session && line.address == address);
        let mut line = match known {
            Some(at) => lines.remove(at),
            None => Line {
                session: session.to_owned(),
                address,
                newest: watch::channel(ticket).0,
                work: Weak::new(),
            },
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
        let work = Arc::<UnderWay>::default();
        if !superseded {
            line.work = Arc::downgrade(&work);
        }
        lines.push(line);
        if superseded {
            return Err(ApiError::Superseded);
        }
        Ok(Turn { ticket, newest, left: Arc::default(), work })
    }

    /// How far the work on a ticket has come; `None` when nobody waits for it any more and all work on it has ended.
    pub fn progress(&self, session: &str, address: &str, ticket: u64) -> Option<Progress> {
        let lines = self.open();
        let line = lines.iter().find(|line| line.session == session && line.address == address)?;
        let newest = *line.newest.borrow();
        line.work.upgrade().filter(|_| newest == ticket).map(|work| work.progress())
    }

    fn open(&self) -> MutexGuard<'_, Vec<Line>> {
        // The list is whole at every moment: a panic elsewhere cannot have left it half changed.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
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
        Claim {
            ticket: self.ticket,
            newest: self.newest.clone(),
            left: Arc::clone(&self.left),
            work: Arc::clone(&self.work),
        }
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

    /// Its turn has come.
    pub fn begin(&self) {
        self.work.begin();
    }

    /// A step of it begins.
    pub fn begins(&self, step: Step) {
        self.work.begins(step);
    }

    /// A step of a pull is reached.
    pub fn pulls(&self, pull: PullSoFar) {
        self.work.pulls(pull);
    }

    /// So much more is wanted that is counted.
    pub fn more(&self, count: usize) {
        self.work.more(count);
    }

    /// One more of it is done.
    pub fn done(&self) {
        self.work.done();
    }

    /// Does work that tells each step as it begins, counts its cases, and is called off when nobody wants the result any more.
    ///
    /// # Errors
    /// Those of the work.
    pub fn watched<T>(
        &self,
        work: impl FnOnce(&(dyn Fn(Step) + Sync), Watch<'_>) -> Result<T, CaseError>,
    ) -> Result<T, CaseError> {
        let stop = || self.check().is_err();
        let watch = Watch { more: &|count| self.more(count), done: &|| self.done(), stop: &stop };
        work(&|step| self.begins(step), watch)
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
    fn work_tells_how_far_it_has_come_until_it_ends() {
        let turns = Turns::default();
        let turn = turns.take("page", "/a", 1).unwrap();
        let wanted = turn.wanted();
        let told = |ticket| turns.progress("page", "/a", ticket);
        assert_eq!(told(1), Some(Progress::default()));
        wanted.begin();
        wanted.more(3);
        wanted.done();
        assert_eq!(told(1), Some(Progress { begun: true, done: 1, of: 3, ..Progress::default() }));
        assert_eq!((told(2), turns.progress("page", "/b", 1)), (None, None));
        // The page hung up: work that has not noticed yet is still under way.
        drop(turn);
        assert!(told(1).is_some());
        drop(wanted);
        assert_eq!(told(1), None);
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
