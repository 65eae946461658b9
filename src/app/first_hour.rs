//! What a new clinic is asked once, and the clinic file that its answers make.
//!
//! Invariants: no input or output here; every answer that is taken makes a clinic file that can be read; what was not
//! answered is left out of the file, or stands there as a remark with what holds without it.

use std::collections::BTreeMap;
use std::fmt::Write;

use serde::{Deserialize, Serialize};

use super::clinic::Clinic;

/// File of the answers in the data folder, so that the questions can be left and taken up again.
pub const FILE: &str = "begin.toml";

/// One question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    pub key: &'static str,
    /// Heading under which it is asked.
    pub about: &'static str,
    pub words: &'static str,
    /// Said where somebody answers "?".
    pub more: &'static str,
    pub kind: Kind,
}

/// What may be answered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    Text,
    /// Names, with commas between them.
    Names,
    YesNo,
    /// One of these; the first holds without an answer.
    Choice(&'static [&'static str]),
    /// A number between these; the third holds without an answer, none where it is not known.
    Number(f64, f64, Option<f64>),
    /// Lines "item count" with commas between them.
    Shelf,
}

impl Kind {
    /// What holds where nothing is answered.
    pub fn without(self) -> String {
        match self {
            Self::Text | Self::Names | Self::Shelf => "none".to_owned(),
            Self::YesNo => "no".to_owned(),
            Self::Choice(words) => words.first().copied().unwrap_or_default().to_owned(),
            Self::Number(_, _, usual) => usual.map_or("none".to_owned(), |value| value.to_string()),
        }
    }
}

/// All questions, in the order in which they are asked.
pub const QUESTIONS: &[Question] = &[
    Question {
        key: "name",
        about: "The practice",
        words: "Name of the practice, for the owner's sheet and the labels of samples",
        more: "It is printed, and nothing else is done with it.",
        kind: Kind::Text,
    },
    Question {
        key: "telephone",
        about: "The practice",
        words: "Telephone number for owners",
        more: "It stands on the owner's sheet. Without it the sheet says that it is missing.",
        kind: Kind::Text,
    },
    Question {
        key: "emergency_telephone",
        about: "The practice",
        words: "Telephone number for emergencies out of hours",
        more: "It stands beside the warning signs on the owner's sheet.",
        kind: Kind::Text,
    },
    Question {
        key: "vets",
        about: "People",
        words: "Names of the vets, with commas between them",
        more: "For practising: each voice has its own loudness and pauses. Signing needs a PIN besides: sulcus sign --help.",
        kind: Kind::Names,
    },
    Question {
        key: "nurses",
        about: "People",
        words: "Names of the nurses, with commas between them",
        more: "For practising, as with the vets.",
        kind: Kind::Names,
    },
    Question {
        key: "headset",
        about: "Sound",
        words: "Does whoever speaks wear a headset",
        more: "A close microphone hears best in noise, and the read-back in one's ear can be spoken over. Without one the microphone hears the loudspeaker, and people wait for the read-back.",
        kind: Kind::YesNo,
    },
    Question {
        key: "pace",
        about: "The conversation",
        words: "When is it read back: each reading, each tooth, or each quadrant",
        more: "each_reading is the safest and the slowest. each_quadrant lets the vet call a quadrant without a stop; it is read back, and asked, at its end.",
        kind: Kind::Choice(&["each_reading", "each_tooth", "each_quadrant"]),
    },
    Question {
        key: "pedal",
        about: "Foot pedal",
        words: "Foot pedal: a part of the name that the system gives it",
        more: "A pedal is a keyboard with few keys: ls /dev/input/by-id shows the names. Your user must be allowed to read it.",
        kind: Kind::Text,
    },
    Question {
        key: "pedal_by",
        about: "Foot pedal",
        words: "Whose foot is it",
        more: "A nurse's foot confirms no decision.",
        kind: Kind::Choice(&["unknown", "vet", "nurse"]),
    },
    Question {
        key: "dog_normal_depth_mm",
        about: "Limits",
        words: "Deepest sulcus of a dog that is still normal, in millimetres",
        more: "Published limits differ: 3, and the stricter 2 (docs/plan-rules.md names the sources). Your vet decides.",
        kind: Kind::Number(2.0, 3.0, Some(3.0)),
    },
    Question {
        key: "cat_gag_minutes_max",
        about: "Limits",
        words: "Minutes after which a gag in a cat's mouth is asked about",
        more: "A gag that holds a cat's mouth wide open can harm its blood supply (docs/plan-rules.md). Sooner is safer.",
        kind: Kind::Number(1.0, 30.0, Some(10.0)),
    },
    Question {
        key: "anaesthetic_minutes_max",
        about: "Limits",
        words: "Minutes of anaesthesia after which it is warned",
        more: "Without a number there is no warning. Your vet and your local rules decide.",
        kind: Kind::Number(10.0, 600.0, None),
    },
    Question {
        key: "interval_minutes",
        about: "The anaesthetised animal",
        words: "Every how many minutes vital signs are reminded of; 0 for never",
        more: "Five minutes is what guidelines ask for (docs/anaesthetic.md).",
        kind: Kind::Number(0.0, 30.0, Some(5.0)),
    },
    Question {
        key: "local_drug",
        about: "Drugs",
        words: "Local anaesthetic that is used most",
        more: "The order of work waits for its onset. The dose is the vet's.",
        kind: Kind::Choice(&["bupivacaine", "lidocaine", "mepivacaine"]),
    },
    Question {
        key: "lidocaine_percent",
        about: "Drugs",
        words: "Strength of the lidocaine in the house, in per cent, as the bottle says",
        more: "Milligrams are worked out with it. Read it from the bottle.",
        kind: Kind::Number(0.5, 5.0, Some(2.0)),
    },
    Question {
        key: "bupivacaine_percent",
        about: "Drugs",
        words: "Strength of the bupivacaine in the house, in per cent, as the bottle says",
        more: "Milligrams are worked out with it. Read it from the bottle.",
        kind: Kind::Number(0.1, 1.0, Some(0.5)),
    },
    Question {
        key: "recorder",
        about: "Films",
        words: "What records the films",
        more: "Plates are put in and read one by one, so that the order of films differs.",
        kind: Kind::Choice(&["sensor", "plates"]),
    },
    Question {
        key: "shelf",
        about: "The shelf",
        words: "Instruments on the shelf: item and count, with commas between them, such as luxator_3 2",
        more: "The keys stand in docs/plan-rules.md. Counted use tells when to sharpen. It can wait.",
        kind: Kind::Shelf,
    },
];

/// What a clinic answered, in its own words, and what was written of it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answers {
    /// By the question's key; an empty one was passed over.
    #[serde(default)]
    given: BTreeMap<String, String>,
    /// SHA-256 of the clinic file that was made from them last: a file that somebody changed since is left alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub written: Option<String>,
}

impl Answers {
    /// Reads what was kept.
    ///
    /// # Errors
    /// Says what is wrong with it.
    pub fn read(text: &str) -> Result<Self, String> {
        toml::from_str(text).map_err(|error: toml::de::Error| error.message().to_owned())
    }

    pub fn to_text(&self) -> String {
        toml::to_string(self).unwrap_or_default()
    }

    pub fn get(&self, key: &str) -> Option<&str> {
        let answer = self.given.get(key).map(String::as_str);
        answer.filter(|answer| !answer.is_empty())
    }

    /// The first question that was not answered or passed over yet.
    pub fn next(&self) -> Option<usize> {
        QUESTIONS
            .iter()
            .position(|question| !self.given.contains_key(question.key))
    }

    /// Takes an answer; an empty one passes the question over.
    ///
    /// # Errors
    /// Says what may be answered, and keeps what was answered before.
    pub fn take(&mut self, question: &Question, answer: &str) -> Result<(), String> {
        let answer = answer.trim();
        let kept = if answer.is_empty() {
            String::new()
        } else {
            checked(question.kind, answer)?
        };
        let before = self.given.insert(question.key.to_owned(), kept);
        // The clinic file has the last word, whose checks are those of all commands.
        Clinic::read(&self.clinic_file())
            .map(|_| ())
            .inspect_err(|_| {
                match before {
                    Some(before) => self.given.insert(question.key.to_owned(), before),
                    None => self.given.remove(question.key),
                };
            })
    }

    /// Names of all people, vets first.
    pub fn people(&self) -> Vec<&str> {
        ["vets", "nurses"]
            .iter()
            .filter_map(|key| self.get(key))
            .flat_map(|names| names.split(", "))
            .collect()
    }

    pub fn has_headset(&self) -> bool {
        self.get("headset") == Some("yes")
    }

    /// The clinic file, with remarks.
    pub fn clinic_file(&self) -> String {
        let mut text = "# The clinic's own choices, made by `sulcus begin`. It is yours to change; docs/clinic-example.toml shows all that\n# may stand here. No value of it is a recommendation: the licensed vet and local rules decide.\n".to_owned();
        self.section(
            &mut text,
            "practice",
            "Stands on the owner's sheet and on labels.",
            &["name", "telephone", "emergency_telephone"],
        );
        let people = self.people();
        if !people.is_empty() {
            let _ = writeln!(
                text,
                "\n# People, for `sulcus practise --person NAME`: {}.",
                people.join(", ")
            );
        }
        self.section(
            &mut text,
            "conversation",
            "docs/conversation.md tells what each choice gains and costs.",
            &["pace"],
        );
        if self.has_headset() {
            text.push_str("# With `sulcus listen --headset`: the read-back goes on while the next reading is called.\nread_back_goes_on = true\n");
        }
        if self.get("pedal").is_some() {
            text.push_str("\n# A press confirms what was read back, a long one withdraws, two go to the next tooth.\n[conversation.pedal]\n");
            for (key, name) in [("pedal", "device"), ("pedal_by", "by")] {
                if let Some(answer) = self.get(key) {
                    let _ = writeln!(text, "{name} = {}", quoted(answer));
                }
            }
        }
        self.section(
            &mut text,
            "limits",
            "Millimetres and minutes.",
            &[
                "dog_normal_depth_mm",
                "cat_gag_minutes_max",
                "anaesthetic_minutes_max",
            ],
        );
        self.section(
            &mut text,
            "watch",
            "The anaesthetised animal; 0 reminds of nothing.",
            &["interval_minutes"],
        );
        let drugs = ["local_drug", "lidocaine_percent", "bupivacaine_percent"];
        if drugs.iter().any(|key| self.get(key).is_some()) {
            text.push_str("\n# The bottles in the house: check them whenever a new one is bought.\n[anaesthetic]\n");
            for (key, name) in
                drugs
                    .iter()
                    .zip(["drug", "lidocaine_percent", "bupivacaine_percent"])
            {
                self.line(&mut text, key, name);
            }
        }
        self.section(&mut text, "films", "What records them.", &["recorder"]);
        for (item, count) in self
            .get("shelf")
            .iter()
            .flat_map(|shelf| shelf.split(", "))
            .filter_map(|line| line.split_once(' '))
        {
            let _ = write!(
                text,
                "\n[[shelf]]\nitem = {}\ncount = {count}\n",
                quoted(item)
            );
        }
        text
    }

    fn section(&self, text: &mut String, name: &str, remark: &str, keys: &[&str]) {
        let _ = write!(text, "\n# {remark}\n[{name}]\n");
        for key in keys {
            self.line(text, key, key);
        }
    }

    /// A line, or the same as a remark where nothing was answered.
    fn line(&self, text: &mut String, key: &str, name: &str) {
        let Some(question) = QUESTIONS.iter().find(|question| question.key == key) else {
            return;
        };
        let shown = |answer: &str| match question.kind {
            Kind::Number(..) => decimal(answer, name),
            _ => quoted(answer),
        };
        let _ = match self.get(key) {
            Some(answer) => writeln!(text, "{name} = {}", shown(answer)),
            None => match question.kind {
                Kind::Number(_, _, None) | Kind::Text | Kind::Names | Kind::Shelf => {
                    writeln!(text, "# {name}: not given")
                }
                kind => writeln!(text, "# {name} = {}", shown(&kind.without())),
            },
        };
    }
}

/// Strengths are decimal in the file, counts are whole.
fn decimal(answer: &str, name: &str) -> String {
    if name.ends_with("_percent") && !answer.contains('.') {
        format!("{answer}.0")
    } else {
        answer.to_owned()
    }
}

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

fn checked(kind: Kind, answer: &str) -> Result<String, String> {
    if answer.chars().any(char::is_control) || answer.chars().count() > 200 {
        return Err("write up to 200 letters, digits and signs".to_owned());
    }
    match kind {
        Kind::Text => Ok(answer.to_owned()),
        Kind::Names => Ok(listed(answer).join(", ")),
        Kind::YesNo => match answer.to_lowercase().as_str() {
            "yes" | "y" => Ok("yes".to_owned()),
            "no" | "n" => Ok("no".to_owned()),
            _ => Err("answer yes or no".to_owned()),
        },
        Kind::Choice(words) => {
            let wanted = answer.to_lowercase().replace([' ', '-'], "_");
            words
                .iter()
                .find(|word| **word == wanted)
                .map(|word| (*word).to_owned())
                .ok_or_else(|| format!("answer one of: {}", words.join(", ")))
        }
        Kind::Number(least, most, _) => {
            let number: f64 = answer
                .replace(',', ".")
                .parse()
                .map_err(|_| format!("a number from {least} to {most}"))?;
            if (least..=most).contains(&number) {
                Ok(number.to_string())
            } else {
                Err(format!("a number from {least} to {most}"))
            }
        }
        Kind::Shelf => listed(answer)
            .iter()
            .map(
                |line| match line.split_whitespace().collect::<Vec<_>>()[..] {
                    [item, count] if count.parse::<u16>().is_ok() => Ok(format!("{item} {count}")),
                    _ => Err(format!("{line}: write item and count, such as luxator_3 2")),
                },
            )
            .collect::<Result<Vec<_>, _>>()
            .map(|lines| lines.join(", ")),
    }
}

fn listed(answer: &str) -> Vec<&str> {
    answer
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn question(key: &str) -> &'static Question {
        QUESTIONS
            .iter()
            .find(|question| question.key == key)
            .expect("a question")
    }

    #[test]
    fn without_any_answer_all_is_as_it_comes() {
        let mut answers = Answers::default();
        assert_eq!(
            Clinic::read(&answers.clinic_file()).unwrap(),
            Clinic::default()
        );
        for question in QUESTIONS {
            answers.take(question, "").unwrap();
        }
        assert_eq!(answers.next(), None);
        assert_eq!(
            Clinic::read(&answers.clinic_file()).unwrap(),
            Clinic::default()
        );
    }

    /// What stands there as a remark is what holds: taken at its word, nothing changes.
    #[test]
    fn the_remarks_tell_what_holds() {
        let text = Answers::default().clinic_file();
        let taken: String = text
            .lines()
            .map(|line| match line.strip_prefix("# ") {
                Some(rest) if rest.contains(" = ") => format!("{rest}\n"),
                _ => format!("{line}\n"),
            })
            .collect();
        assert_ne!(text, taken);
        let mut clinic = Clinic::read(&taken).unwrap();
        assert!(clinic.flow.pace.is_some());
        clinic.flow.pace = None;
        assert_eq!(clinic, Clinic::default());
    }

    #[test]
    fn answers_reach_the_clinic() {
        let mut answers = Answers::default();
        for (key, answer) in [
            ("name", "Invented \"clinic\" # one"),
            ("vets", "A. Vet (invented) , B. Vet (invented),"),
            ("headset", "Y"),
            ("pace", "each quadrant"),
            ("pedal", "FootSwitch"),
            ("pedal_by", "nurse"),
            ("dog_normal_depth_mm", "2"),
            ("bupivacaine_percent", "0,75"),
            ("lidocaine_percent", "2"),
            ("shelf", "luxator_3 2"),
        ] {
            answers.take(question(key), answer).expect(key);
        }
        assert_eq!(answers.people(), ["A. Vet (invented)", "B. Vet (invented)"]);
        let text = answers.clinic_file();
        let clinic = Clinic::read(&text).expect("readable");
        assert_ne!(clinic, Clinic::default());
        assert!(text.contains("read_back_goes_on = true") && text.contains("by = \"nurse\""));
        assert_eq!(Answers::read(&answers.to_text()), Ok(answers));
    }

    #[test]
    fn a_wrong_answer_is_refused_and_the_one_before_stays() {
        let mut answers = Answers::default();
        answers.take(question("shelf"), "luxator_3 2").unwrap();
        for (key, wrong) in [
            ("shelf", "luxator_3"),
            ("dog_normal_depth_mm", "7"),
            ("dog_normal_depth_mm", "deep"),
            ("headset", "perhaps"),
            ("pace", "slow"),
            ("name", "two\u{7}bells"),
        ] {
            assert!(answers.take(question(key), wrong).is_err(), "{key} {wrong}");
        }
        assert_eq!(answers.get("shelf"), Some("luxator_3 2"));
        assert_eq!(answers.next(), Some(0));
    }

    proptest! {
        /// Whatever is typed: it is refused, or the file that it makes is read.
        #[test]
        fn every_answer_that_is_taken_makes_a_file_that_is_read(
            typed in proptest::collection::vec((0..QUESTIONS.len(), "\\PC{0,30}|[0-9.,]{1,4}|yes|plates|luxator_3 [0-9]{1,3}"), 0..12)
        ) {
            let mut answers = Answers::default();
            for (at, text) in typed {
                let _ = answers.take(&QUESTIONS[at], &text);
                prop_assert!(Clinic::read(&answers.clinic_file()).is_ok(), "{}", answers.clinic_file());
            }
        }
    }
}
