//! Keys as the program names them, without the window's own types.

use std::fmt;

/// A key of the keyboard.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Key {
    /// A letter (lower case), digit or sign, as printed on the key.
    Char(char),
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// End.
    End,
    /// Enter.
    Enter,
    /// Escape.
    Escape,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// F1 to F12.
    F(u8),
}

/// A key with its modifiers.
///
/// Signs that need shift on some keyboards (`+`, `?`) are named by the sign and match with or
/// without shift.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Shortcut {
    /// Ctrl, or Command on a Mac.
    pub ctrl: bool,
    /// Shift.
    pub shift: bool,
    /// Alt, or Option on a Mac.
    pub alt: bool,
    /// The key.
    pub key: Key,
}

impl Shortcut {
    /// The key alone.
    pub const fn plain(key: Key) -> Self {
        Self { ctrl: false, shift: false, alt: false, key }
    }

    /// A letter, digit or sign alone.
    pub const fn char(c: char) -> Self {
        Self::plain(Key::Char(c))
    }

    /// With Ctrl, or Command on a Mac.
    pub const fn ctrl(c: char) -> Self {
        Self { ctrl: true, ..Self::char(c) }
    }

    /// The same with shift.
    pub const fn shifted(self) -> Self {
        Self { shift: true, ..self }
    }

    /// The same with alt.
    pub const fn with_alt(self) -> Self {
        Self { alt: true, ..self }
    }

    /// Whether it belongs to a text field that has the keyboard: what types, moves or edits there.
    pub const fn belongs_to_text(self) -> bool {
        match self.key {
            Key::F(_) => false,
            Key::Char('a' | 'c' | 'v' | 'x' | 'y' | 'z') => true,
            Key::Char(_) => !self.ctrl,
            _ => true,
        }
    }
}

impl fmt::Display for Shortcut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.ctrl {
            f.write_str(if cfg!(target_os = "macos") { "Cmd+" } else { "Ctrl+" })?;
        }
        if self.alt {
            f.write_str("Alt+")?;
        }
        if self.shift {
            f.write_str("Shift+")?;
        }
        match self.key {
            Key::Char(' ') => f.write_str("Space"),
            Key::Char(c) => write!(f, "{}", c.to_uppercase()),
            Key::Left => f.write_str("Left"),
            Key::Right => f.write_str("Right"),
            Key::Up => f.write_str("Up"),
            Key::Down => f.write_str("Down"),
            Key::PageUp => f.write_str("Page up"),
            Key::PageDown => f.write_str("Page down"),
            Key::Home => f.write_str("Home"),
            Key::End => f.write_str("End"),
            Key::Enter => f.write_str("Enter"),
            Key::Escape => f.write_str("Esc"),
            Key::Backspace => f.write_str("Backspace"),
            Key::Delete => f.write_str("Delete"),
            Key::F(n) => write!(f, "F{n}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shortcuts_are_named_as_on_the_keyboard() {
        let text = |shortcut: Shortcut| shortcut.to_string();
        assert_eq!(text(Shortcut::char('b')), "B");
        assert_eq!(text(Shortcut::plain(Key::Left).shifted()), "Shift+Left");
        assert!(Shortcut::char('b').belongs_to_text());
        assert!(!Shortcut::ctrl('s').belongs_to_text());
        assert!(Shortcut::ctrl('z').belongs_to_text());
        assert!(Shortcut::plain(Key::Left).belongs_to_text());
    }
}
