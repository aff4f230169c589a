//! An allocator that knows how much memory is held and was held at most.

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicUsize, Ordering};

struct Counting;

#[global_allocator]
static ALLOCATOR: Counting = Counting;

static HELD: AtomicUsize = AtomicUsize::new(0);
static PEAK: AtomicUsize = AtomicUsize::new(0);

fn more(bytes: usize) {
    let held = HELD.fetch_add(bytes, Ordering::Relaxed) + bytes;
    PEAK.fetch_max(held, Ordering::Relaxed);
}

#[allow(unsafe_code, reason = "an allocator can only be written so; it passes everything on")]
// SAFETY: all calls go to the system's allocator with the arguments as they came.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        more(layout.size());
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, block: *mut u8, layout: Layout) {
        HELD.fetch_sub(layout.size(), Ordering::Relaxed);
        unsafe { System.dealloc(block, layout) }
    }

    unsafe fn realloc(&self, block: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        // Both blocks may exist for a moment.
        more(size);
        HELD.fetch_sub(layout.size(), Ordering::Relaxed);
        unsafe { System.realloc(block, layout, size) }
    }
}

/// The most bytes that were held at once during `work`, beyond those held before it. Only true
/// while nothing else runs in this process.
pub(crate) fn peak_of<T>(work: impl FnOnce() -> T) -> (T, usize) {
    let before = HELD.load(Ordering::Relaxed);
    PEAK.store(before, Ordering::Relaxed);
    let done = work();
    (done, PEAK.load(Ordering::Relaxed).saturating_sub(before))
}
