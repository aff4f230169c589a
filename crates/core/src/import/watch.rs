//! Watching a read from another thread: how far it is, and a wish to stop.

use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// Shared between the thread that reads and the one that waits.
#[derive(Debug, Default)]
pub struct Watch {
    cancelled: AtomicBool,
    permille: AtomicU32,
}

impl Watch {
    /// Asks the reader to stop; it does so at the next bar.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether someone asked to stop.
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }

    /// How much is done, 0 to 1000.
    pub fn permille(&self) -> u32 {
        self.permille.load(Ordering::Relaxed)
    }

    /// Says how much is done, held inside 0 to 1000. It never goes back.
    pub fn set_permille(&self, permille: u32) {
        self.permille.fetch_max(permille.min(1000), Ordering::Relaxed);
    }
}
