//! From the window's keys to our shortcuts, and from them to actions. The only place where the two
//! kinds of keys meet.

use crate::model::action::Action;
use crate::model::command::{self, COMMANDS, CommandRow, Mode};
use crate::model::env::Env;
use crate::model::shortcut::{Key, Shortcut};
use egui::{Event, Modifiers};

/// Takes the first key out of the input that means something right now, and answers what it means.
/// To be called until it answers nothing: each key meets the state that the one before it left.
///
/// While a text field has the keyboard, keys that type, move or edit are left to it; Escape goes back
/// only from the field of the title line (`in_title`), other fields give the keyboard back by
/// themselves. Keys of commands that are not available are left alone too.
pub fn next_action(ctx: &egui::Context, env: &Env<'_>, in_title: bool) -> Option<Action> {
    let typing = ctx.text_edit_focused();
    let focused = ctx.memory(|memory| memory.focused().is_some());
    let in_menu = egui::Popup::is_any_open(ctx);
    ctx.input_mut(|input| {
        for idx in 0..input.events.len() {
            let Some(pressed) = input.events.get(idx).and_then(shortcut_of) else { continue };
            let escapes = pressed.key == Key::Escape && in_title;
            let is_theirs = typing && pressed.belongs_to_text() && !escapes;
            // An open menu closes by itself on Escape.
            // A widget reached with the tab key is used with Enter.
            let uses = focused && pressed.key == Key::Enter;
            if is_theirs || uses || (in_menu && pressed.key == Key::Escape) {
                continue;
            }
            let choosing = env.view.choosing_sign;
            let of_sign = choosing.then(|| row_of(pressed, Mode::ChoosingSign)).flatten();
            let row = of_sign.or_else(|| row_of(pressed, Mode::Ordinary));
            if let Some(action) = row.and_then(|row| command::resolve(row.command, env)) {
                input.events.remove(idx);
                return Some(action);
            }
        }
        None
    })
}

/// The row that a pressed key stands for: exactly as pressed, or for a sign without its shift.
fn row_of(pressed: Shortcut, mode: Mode) -> Option<&'static CommandRow> {
    let row = |wanted: Shortcut| {
        COMMANDS.iter().find(|row| row.mode == mode && row.keys.contains(&wanted))
    };
    let sign = matches!(pressed.key, Key::Char(c) if !c.is_alphanumeric());
    row(pressed).or_else(|| if sign { row(Shortcut { shift: false, ..pressed }) } else { None })
}

/// The shortcut of an event; `None` for anything but a pressed key that we name.
///
/// Letters and digits come as keys; signs come as the text they type, since their keys differ from
/// one keyboard to another.
fn shortcut_of(event: &Event) -> Option<Shortcut> {
    match event {
        Event::Key { key, pressed: true, modifiers, .. } => Some(with(key_of(*key)?, modifiers)),
        Event::Text(text) => {
            let mut chars = text.chars();
            let sign = chars.next().filter(|c| "+-=?/,.".contains(*c))?;
            chars.next().is_none().then(|| Shortcut::char(sign))
        }
        _ => None,
    }
}

fn with(key: Key, modifiers: &Modifiers) -> Shortcut {
    Shortcut { ctrl: modifiers.command, shift: modifiers.shift, alt: modifiers.alt, key }
}

fn key_of(key: egui::Key) -> Option<Key> {
    use egui::Key as K;
    Some(match key {
        K::ArrowLeft => Key::Left,
        K::ArrowRight => Key::Right,
        K::ArrowUp => Key::Up,
        K::ArrowDown => Key::Down,
        K::PageUp => Key::PageUp,
        K::PageDown => Key::PageDown,
        K::Home => Key::Home,
        K::End => Key::End,
        K::Enter => Key::Enter,
        K::Escape => Key::Escape,
        K::Backspace => Key::Backspace,
        K::Delete => Key::Delete,
        K::F1 => Key::F(1),
        // Comma and period have commands with Ctrl only, which type no text.
        K::Comma => Key::Char(','),
        K::Period => Key::Char('.'),
        other => {
            let name = other.name();
            let mut chars = name.chars();
            let first = chars.next().filter(char::is_ascii_alphanumeric)?;
            chars.next().is_none().then_some(Key::Char(first.to_ascii_lowercase()))?
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::command::Command;

    fn press(key: egui::Key, modifiers: Modifiers) -> Option<Command> {
        let event = Event::Key { key, physical_key: None, pressed: true, repeat: false, modifiers };
        row_of(shortcut_of(&event)?, Mode::Ordinary).map(|row| row.command)
    }

    #[test]
    fn keys_stand_for_commands() {
        assert_eq!(press(egui::Key::B, Modifiers::NONE), Some(Command::Beating));
        assert_eq!(press(egui::Key::Num3, Modifiers::NONE), Some(Command::Beats(3)));
        assert_eq!(press(egui::Key::ArrowRight, Modifiers::SHIFT), Some(Command::ExtendNext));
        assert_eq!(press(egui::Key::S, Modifiers::COMMAND), Some(Command::Save));
        assert_eq!(press(egui::Key::F, Modifiers::SHIFT), Some(Command::WholeWork));
        let sign = Event::Text(String::from("?"));
        let row = row_of(shortcut_of(&sign).unwrap(), Mode::Ordinary).unwrap();
        assert_eq!(row.command, Command::Keys);
        assert_eq!(shortcut_of(&Event::Text(String::from("b"))), None);
    }

    #[test]
    fn letters_stand_for_signs_while_one_is_chosen() {
        let row = row_of(Shortcut::char('b'), Mode::ChoosingSign).unwrap();
        assert_eq!(row.command, Command::Sign(barloom_core::study::Sign::Breath));
    }
}
