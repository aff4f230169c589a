//! The keys that help most right now, for the foot line.

use super::action::Action;
use super::command::{Command, resolve};
use super::env::Env;
use super::field::Purpose;
use super::view_state::SidePage;

/// A key and what it does.
#[derive(Clone, Debug, PartialEq)]
pub struct Hint {
    /// The key: "B", "1–9".
    pub key: String,
    /// What it does, in a word or two.
    pub what: &'static str,
    /// The same for the pointer; `None` where a key alone makes sense.
    pub action: Option<Action>,
}

/// At most five.
pub fn hints(env: &Env<'_>) -> Vec<Hint> {
    let view = env.view;
    let command = |command: Command, what: &'static str| {
        let key = command.row().keys.first().map(ToString::to_string)?;
        Some(Hint { key, what, action: Some(resolve(command, env)?) })
    };
    let plain = |key: &str, what| Some(Hint { key: key.to_owned(), what, action: None });
    let hints = if view.purpose != Purpose::Find {
        vec![plain("Enter", "does it"), command(Command::Back, "back")]
    } else if view.choosing_sign {
        vec![plain("letter", "sign"), command(Command::Back, "back")]
    } else if !env.status.open {
        vec![
            command(Command::Open, "open"),
            command(Command::OpenPath, "path"),
            command(Command::Keys, "keys"),
        ]
    } else if view.side != SidePage::Selection {
        vec![command(Command::Back, "back")]
    } else if env.span().is_none() {
        vec![
            plain("← →", "walk bars"),
            command(Command::Find, "find"),
            command(Command::WholeWork, "whole work"),
            command(Command::Lists, "lists"),
            command(Command::Keys, "keys"),
        ]
    } else {
        let open = env.bars().any(|(bar, _)| {
            env.movement_id().is_some_and(|id| env.study.beating(id, bar).is_none())
        });
        vec![
            plain("1–9", "beating"),
            if open { command(Command::Accept, "accept") } else { None }
                .or_else(|| command(Command::Group, "group")),
            command(Command::Cue, "cue"),
            command(Command::Words, "words"),
            command(Command::Keys, "keys"),
        ]
    };
    hints.into_iter().flatten().collect()
}
