//! One file a panel: a drawing function and the state that lives only while it is open.
