//! The help sheet: what may be said, by situation and intent, from the templates themselves.

use std::fmt::Write as _;

use super::Grammar;
use super::template::{Joining, Situation};

/// The sheet as Markdown.
pub fn sheet(grammar: &Grammar) -> String {
    let mut text = String::from(
        "# What may be said\n\nWords in [ ] may be left out, ( | ) is a choice, < > is a list below.\n\
         Sentences marked + may follow one another in one breath; those marked 1 stand alone.\n",
    );
    for situation in Situation::ALL {
        let heading = match situation {
            Situation::Table => "At the table",
            Situation::Question => "When the program has asked something",
            Situation::Speaking => "While the program speaks",
            Situation::Asleep => "When it is not listening",
        };
        put(&mut text, format_args!("\n## {heading}\n\n"));
        let mut last = "";
        for template in grammar.book().active(situation) {
            let mark = match template.joining {
                Joining::Solo => "1",
                Joining::Lead | Joining::Link => "+",
                Joining::Prefix => "before a correction:",
            };
            if template.intent == last {
                put(&mut text, format_args!("  or `{}` {mark}\n", template.text));
            } else {
                put(
                    &mut text,
                    format_args!(
                        "- {}: `{}` {mark}\n",
                        template.intent.replace('_', " "),
                        template.text
                    ),
                );
            }
            last = &template.intent;
        }
    }
    text.push_str("\n## Lists\n\n");
    for (name, entries) in &grammar.book().lists {
        let said: Vec<String> = entries.iter().map(|(node, _)| node.to_string()).collect();
        put(&mut text, format_args!("- <{name}>: {}\n", said.join(", ")));
    }
    for (name, nodes) in &grammar.book().rules {
        let said: Vec<String> = nodes.iter().map(ToString::to_string).collect();
        put(
            &mut text,
            format_args!("- <{name}>: {}\n", said.join(", or ")),
        );
    }
    text
}

fn put(text: &mut String, what: std::fmt::Arguments<'_>) {
    text.write_fmt(what).expect("a string takes all");
}
