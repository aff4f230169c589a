//! Drawing of the bar grid: pure reading, actions out.
