//! Nothing that a user opens can break the program: files damaged in twenty thousand ways are read,
//! each within a bound of time and of memory.
//!
//! A binary of its own, because the allocator that counts would disturb the other tests.

#![allow(clippy::print_stdout, reason = "a damaged case must be named before the process ends")]

#[cfg(test)]
mod count;
#[cfg(test)]
mod damage;
#[cfg(test)]
mod hostile;
#[cfg(test)]
mod run;
