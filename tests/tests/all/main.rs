//! Suites that span several crates, and the checks from outside the project.
//!
//! All of them are modules of one binary, so that the linker runs once.
//! Nothing here knows the inside of a crate: only public items, files and installed tools are used.

#[cfg(test)]
mod community;
#[cfg(test)]
mod ensemble;
#[cfg(test)]
mod example;
#[cfg(test)]
mod facts_keys;
#[cfg(test)]
mod kill;
#[cfg(test)]
mod mei;
#[cfg(test)]
mod orchestra;
#[cfg(test)]
mod outside;
#[cfg(test)]
mod pdf;
#[cfg(test)]
#[cfg(test)]
mod reference;
#[cfg(test)]
mod schema;
#[cfg(test)]
mod sounds;
#[cfg(test)]
mod synthetic;
#[cfg(test)]
mod tidy;
#[cfg(test)]
mod works;
#[cfg(test)]
mod written;
