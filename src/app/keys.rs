//! Keys of the terminal, and so foot pedals and page turners, which are keyboards with one key: push to talk, who
//! speaks next, confirm and undo. Only tells which key was pressed; `live` does what follows.
//!
//! Invariant: the terminal is set back when [`Keys`] is dropped.

use std::str::FromStr;

use super::flow::Tread;
use crossbeam_channel::{Receiver, Sender, unbounded};
use crossterm::event::{Event, KeyCode, KeyEventKind, KeyModifiers, read};
use crossterm::terminal::{disable_raw_mode, enable_raw_mode};

/// What a key stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Act {
    /// Listen to the next utterance; again: stop waiting for it.
    Talk,
    /// The next utterance is the nurse's.
    Nurse,
    Confirm,
    Undo,
    Next,
    /// A foot went down on the pedal; what it means comes later.
    FootDown,
    Trod(Tread),
    PedalFound,
    /// The pedal is not there, and why.
    PedalLost(String),
    /// Leave the program (control and c, which a raw terminal gives as a key).
    Leave,
}

/// A key by name: a letter or figure, "space", "enter", "f1" to "f12", "pageup", "pagedown", "left", "right", "up",
/// "down", "tab", "home", "end".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Key(KeyCode);

impl FromStr for Key {
    type Err = String;

    fn from_str(name: &str) -> Result<Self, String> {
        let lower = name.to_lowercase();
        let code = match lower.as_str() {
            "space" => KeyCode::Char(' '),
            "enter" => KeyCode::Enter,
            "tab" => KeyCode::Tab,
            "pageup" => KeyCode::PageUp,
            "pagedown" => KeyCode::PageDown,
            "left" => KeyCode::Left,
            "right" => KeyCode::Right,
            "up" => KeyCode::Up,
            "down" => KeyCode::Down,
            "home" => KeyCode::Home,
            "end" => KeyCode::End,
            _ => {
                let mut letters = lower.chars();
                match (letters.next(), letters.as_str()) {
                    (Some(letter), "") => KeyCode::Char(letter),
                    (Some('f'), number)
                        if number.parse().is_ok_and(|n: u8| (1..=12).contains(&n)) =>
                    {
                        KeyCode::F(number.parse().unwrap_or(1))
                    }
                    _ => {
                        return Err(format!(
                            "no key is called {name:?}; give a letter, space, enter, f1 to f12, pageup, pagedown, left, right, up, down, tab, home or end"
                        ));
                    }
                }
            }
        };
        Ok(Self(code))
    }
}

/// Which keys do what.
#[derive(Debug, Clone, Default)]
pub struct Bindings(Vec<(Key, Act)>);

impl Bindings {
    pub fn with(mut self, key: Option<Key>, act: Act) -> Self {
        self.0.extend(key.map(|key| (key, act)));
        self
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    fn act(&self, code: KeyCode, modifiers: KeyModifiers) -> Option<Act> {
        if code == KeyCode::Char('c') && modifiers.contains(KeyModifiers::CONTROL) {
            return Some(Act::Leave);
        }
        let code = match code {
            KeyCode::Char(letter) => KeyCode::Char(letter.to_ascii_lowercase()),
            code => code,
        };
        self.0
            .iter()
            .find(|(key, _)| key.0 == code)
            .map(|(_, act)| act.clone())
    }
}

/// Reads keys while it lives.
pub struct Keys(());

impl Keys {
    /// Takes the terminal over; an error where standard input is none.
    pub fn open(bindings: Bindings) -> std::io::Result<(Self, Receiver<Act>)> {
        enable_raw_mode()?;
        let (sender, acts) = unbounded();
        std::thread::Builder::new()
            .name("keys".to_owned())
            .spawn(move || watch(&bindings, &sender))?;
        Ok((Self(()), acts))
    }
}

impl Drop for Keys {
    fn drop(&mut self) {
        // The terminal is gone where this fails.
        let _ = disable_raw_mode();
    }
}

fn watch(bindings: &Bindings, acts: &Sender<Act>) {
    while let Ok(event) = read() {
        if let Event::Key(key) = event
            && key.kind == KeyEventKind::Press
            && let Some(act) = bindings.act(key.code, key.modifiers)
            && acts.send(act).is_err()
        {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_go_by_name() {
        for (name, code) in [
            ("space", KeyCode::Char(' ')),
            ("F9", KeyCode::F(9)),
            ("f", KeyCode::Char('f')),
            ("PageDown", KeyCode::PageDown),
            ("b", KeyCode::Char('b')),
        ] {
            assert_eq!(Key::from_str(name), Ok(Key(code)), "{name}");
        }
        for name in ["", "f13", "pedal", "f0"] {
            let error = Key::from_str(name).unwrap_err();
            assert!(error.contains("no key is called"), "{error}");
        }
    }

    #[test]
    fn a_key_does_what_it_is_bound_to_and_control_c_always_leaves() {
        let bindings = Bindings::default()
            .with(Key::from_str("pagedown").ok(), Act::Talk)
            .with(Key::from_str("n").ok(), Act::Nurse);
        let none = KeyModifiers::NONE;
        assert_eq!(bindings.act(KeyCode::PageDown, none), Some(Act::Talk));
        assert_eq!(
            bindings.act(KeyCode::Char('N'), KeyModifiers::SHIFT),
            Some(Act::Nurse)
        );
        assert_eq!(bindings.act(KeyCode::Char('x'), none), None);
        assert_eq!(
            bindings.act(KeyCode::Char('c'), KeyModifiers::CONTROL),
            Some(Act::Leave)
        );
    }
}
