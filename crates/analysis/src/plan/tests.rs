//! Checks of the plan's content on small scores built by hand.
