//! What several suites share: data made by the same doors that users go through.

pub mod example;
pub mod measured;
pub mod movements;
pub mod mutate;
pub mod orchestra;
pub mod synthetic;
