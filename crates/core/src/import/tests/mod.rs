//! Reading as a whole: small scores in a compact text, and what must come of them.

mod corpus;
mod lengths;
