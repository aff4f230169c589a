//! Reading as a whole: small scores in a compact text, and what must come of them.

mod bars;
mod compact;
mod corpus;
mod diagnostics;
mod directions;
mod halves;
mod harmonics;
mod instruments;
mod lengths;
mod limits;
mod manners;
mod markings;
mod mei;
mod meters;
mod movements;
mod notes;
mod order;
mod players;
mod signs;
mod sliced;
mod values;
