//! The same work on many items, on as many threads as the machine has.

use std::cmp::Reverse;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Starting a thread takes as long as reading some thousand bytes.
const WORTH_A_THREAD: usize = 50_000;

/// Applies `work` to every item; the results are in the order of the items. The largest items are
/// begun first, so that none of them is left to the end. Where no thread can be started, this one
/// does all.
pub(super) fn map<T: Sync, R: Send>(
    items: &[T],
    size: impl Fn(&T) -> usize,
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let n_threads = thread::available_parallelism().map_or(1, usize::from).min(items.len());
    if n_threads < 2 {
        return items.iter().map(work).collect();
    }
    let mut order: Vec<(usize, &T)> = items.iter().enumerate().collect();
    order.sort_by_key(|(_, item)| Reverse(size(item)));
    let next = AtomicUsize::new(0);
    let run = || {
        let mut done = Vec::new();
        loop {
            let nth = next.fetch_add(1, Ordering::Relaxed);
            let Some((idx, item)) = order.get(nth) else { return done };
            done.push((*idx, work(item)));
        }
    };
    let mut done = thread::scope(|scope| {
        let start = |_| {
            let builder = thread::Builder::new().name(String::from("score-part"));
            builder.spawn_scoped(scope, run).ok()
        };
        let helpers: Vec<_> = (1..n_threads).filter_map(start).collect();
        let mut done = run();
        for helper in helpers {
            // A panic in a helper is a fault of the program and goes on here.
            match helper.join() {
                Ok(part) => done.extend(part),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|(idx, _)| *idx);
    done.into_iter().map(|(_, result)| result).collect()
}

/// Does `main` here and `side` on another thread meanwhile; one after the other if the work, in bytes,
/// is not worth a thread.
pub(super) fn beside<R, S: Send>(
    n_bytes: usize,
    main: impl FnOnce() -> R,
    side: impl Fn() -> S + Sync,
) -> (R, S) {
    if n_bytes < WORTH_A_THREAD {
        return (main(), side());
    }
    thread::scope(|scope| {
        let builder = thread::Builder::new().name(String::from("score-side"));
        let helper = builder.spawn_scoped(scope, &side).ok();
        let done = main();
        match helper.map(thread::ScopedJoinHandle::join) {
            Some(Ok(other)) => (done, other),
            Some(Err(panic)) => std::panic::resume_unwind(panic),
            None => (done, side()),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_the_order_of_the_items() {
        let items: Vec<usize> = (0..1000).collect();
        let squares = map(&items, |item| item % 7, |item| item * item);
        assert!(squares.iter().enumerate().all(|(idx, square)| *square == idx * idx));
        assert_eq!(beside(0, || 1, || 2), (1, 2));
        assert_eq!(beside(WORTH_A_THREAD, || 1, || 2), (1, 2));
        assert!(map(&[] as &[usize], |item| *item, |item| *item).is_empty());
    }
}
