//! What the desk does with actions, without a window.
