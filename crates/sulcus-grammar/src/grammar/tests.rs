//! The grammar as a whole: sampled sentences parse, have one meaning, and are in the word graph.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use std::collections::BTreeSet;

use super::intent::{Intent, Spot};
use super::*;
use crate::terms::{Kind, Side, ToothNumber};

fn grammar() -> Grammar {
    Grammar::built_in().expect("the built-in grammar is sound")
}

fn said(sentence: &str) -> Meaning {
    let grammar = grammar();
    grammar.interpret(&grammar.words(sentence), Situation::Table, Species::Dog)
}

fn tooth(number: u16) -> ToothNumber {
    ToothNumber::new(number).expect("a tooth number")
}

#[test]
fn teeth_are_understood_with_and_without_the_word() {
    for sentence in [
        "tooth one oh four",
        "one zero four",
        "right upper canine",
        "tooth 104",
        "upper right canine",
    ] {
        assert_eq!(
            said(sentence),
            Meaning::Said(vec![Intent::ChooseTooth(tooth(104))]),
            "{sentence}"
        );
    }
    assert_eq!(
        said("three eleven"),
        Meaning::Said(vec![Intent::ChooseTooth(tooth(311))])
    );
    assert_eq!(
        said("tooth three one one"),
        Meaning::Said(vec![Intent::ChooseTooth(tooth(311))])
    );
}

#[test]
fn bare_numbers_are_depths_digit_by_digit() {
    let depths = |mm: &[u8]| {
        Meaning::Said(vec![Intent::RecordMillimetres {
            kind: Kind::Depth,
            spot: Spot::Unsaid,
            mm: mm.to_vec(),
        }])
    };
    assert_eq!(said("one two"), depths(&[1, 2]));
    assert_eq!(said("three one one"), depths(&[3, 1, 1]));
    assert_eq!(said("12"), depths(&[1, 2]));
}

#[test]
fn several_sentences_make_one_utterance() {
    assert_eq!(
        said("tooth two oh eight buccal three two three extract next"),
        Meaning::Said(vec![
            Intent::ChooseTooth(tooth(208)),
            Intent::RecordMillimetres {
                kind: Kind::Depth,
                spot: Spot::Side(Side::Buccal),
                mm: vec![3, 2, 3]
            },
            Intent::Decide {
                decision: crate::terms::Decision::Extract,
                reason: None
            },
            Intent::NextTooth,
        ])
    );
    assert_eq!(
        said("no buccal three five three"),
        Meaning::Said(vec![Intent::Correct(vec![Intent::RecordMillimetres {
            kind: Kind::Depth,
            spot: Spot::Side(Side::Buccal),
            mm: vec![3, 5, 3],
        }])])
    );
}

#[test]
fn the_later_of_two_readings_counts() {
    assert_eq!(
        said("buccal three correction four two two"),
        Meaning::Said(vec![Intent::RecordMillimetres {
            kind: Kind::Depth,
            spot: Spot::Side(Side::Buccal),
            mm: vec![4, 2, 2],
        }])
    );
    assert_eq!(
        said("mobility two instead of one"),
        Meaning::Said(vec![Intent::RecordForTooth {
            kind: Kind::Mobility,
            value: crate::terms::Value::Grade(2),
        }])
    );
}

#[test]
fn other_talk_means_nothing() {
    for sentence in [
        "",
        "tooth",
        "one oh eight five",
        "the dog is nice",
        "tooth nine oh one",
    ] {
        assert_eq!(said(sentence), Meaning::NotUnderstood, "{sentence}");
    }
}

#[test]
fn no_row_of_words_of_the_whole_language_has_two_meanings() {
    let grammar = grammar();
    for situation in Situation::ALL {
        let found = grammar.two_meanings(situation);
        assert!(
            found.is_empty(),
            "{}:\n{}",
            situation.word(),
            found.join("\n")
        );
    }
}

/// The graph grows with every sentence that others may follow: who adds one sees what it costs.
#[test]
fn the_graph_of_the_table_stays_within_bounds() {
    let graph = grammar().graph(Situation::Table);
    let arcs: usize = graph.states.iter().map(|state| state.arcs.len()).sum();
    println!("{} states, {arcs} arcs", graph.states.len());
    assert!(arcs < 900_000, "{arcs} arcs");
}

/// The proof is able to fail: each of these has a sentence of two meanings.
#[test]
fn the_proof_finds_what_has_two_meanings() {
    let found = |text: &str| {
        let grammar = Grammar::from_sources(&[("clinic", text)]).expect("sound");
        grammar.two_meanings(Situation::Table)
    };
    let place = "list side\n  buccal = buccal\nlist depth\n  two = 2\n";
    let sound = format!(
        "{place}intent bleeding link in table\n  bleeding [<side>]\nintent recession link in table\n  recession <depth>\n"
    );
    assert_eq!(found(&sound), Vec::<String>::new());
    // A place between two findings belongs to either.
    let between = format!("{sound}  <side> recession <depth>\n");
    assert_eq!(found(&between).len(), 1, "{:?}", found(&between));
    // A run of numbers is cut in two ways.
    let run = format!("{place}intent depths link in table\n  <depth>{{1,2}}\n");
    assert!(!found(&run).is_empty());
    // One word, two values.
    let twice =
        format!("{sound}list wear\n  bleeding = abrasion\nintent wear solo in table\n  <wear>\n");
    assert!(!found(&twice).is_empty());
}

#[test]
fn sampled_utterances_have_one_meaning_and_are_in_the_graph() {
    let grammar = grammar();
    for situation in Situation::ALL {
        let graph = grammar.graph(situation);
        for seed in 0..4_000 {
            let mut random = ChaCha8Rng::seed_from_u64(seed);
            let words = sample::utterance(grammar.book(), situation, 4, &mut random);
            let meaning = grammar.interpret(&words, situation, Species::Dog);
            assert!(
                matches!(meaning, Meaning::Said(_)),
                "seed {seed}: {} -> {meaning:?}",
                words.join(" ")
            );
            assert!(
                graph.accepts(&words),
                "seed {seed}: {} is not in the graph",
                words.join(" ")
            );
        }
    }
}

#[test]
fn covering_samples_hold_every_word_and_are_in_the_graph() {
    let grammar = grammar();
    for situation in Situation::ALL {
        let graph = grammar.graph(situation);
        let mut random = ChaCha8Rng::seed_from_u64(1);
        let utterances = sample::covering(grammar.book(), situation, &mut random);
        for words in &utterances {
            assert!(graph.accepts(words), "{}", words.join(" "));
        }
        // What the program's own voice says is heard, but nobody says it.
        let is_own = |word: &str| {
            situation == Situation::Speaking
                && graph::own_words().any(|own| own == word)
                && !utterances
                    .iter()
                    .any(|words| words.iter().any(|w| w == word))
        };
        for word in graph.words.iter().filter(|word| !is_own(&word.text)) {
            let is_said = |words: &Vec<String>| words.contains(&word.text);
            assert!(
                utterances.iter().any(is_said),
                "{} is in no sample of {}",
                word.text,
                situation.word()
            );
        }
    }
}

#[test]
fn walks_of_the_graph_are_sentences() {
    use rand::RngExt;
    use rand::seq::IndexedRandom;
    let grammar = grammar();
    let graph = grammar.graph(Situation::Table);
    let mut checked = 0;
    for seed in 0..4_000 {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let (mut state, mut words) = (WordGraph::START, Vec::<&str>::new());
        while words.len() < 14 {
            if graph.states[state as usize].is_final && random.random_bool(0.4) {
                break;
            }
            let Some(&(word, next)) = graph.states[state as usize].arcs.choose(&mut random) else {
                break;
            };
            words.push(&graph.words[word as usize].text);
            state = next;
        }
        if graph.states[state as usize].is_final {
            checked += 1;
            let readings = matcher::readings(grammar.book(), &words, Situation::Table);
            assert!(!readings.is_empty(), "seed {seed}: {}", words.join(" "));
            let meaning = grammar.interpret(&words, Situation::Table, Species::Dog);
            assert!(
                !matches!(meaning, Meaning::Ambiguous(..)),
                "seed {seed}: {} -> {meaning:?}",
                words.join(" ")
            );
        }
    }
    assert!(checked > 1_000, "only {checked} walks ended in a sentence");
}

#[test]
fn faults_in_a_file_are_told_with_place() {
    let fault = |text: &str| {
        Grammar::from_sources(&[("clinic", text)])
            .expect_err("faulty")
            .to_string()
    };
    assert!(
        fault("intent next solo in table\n  (go [on\n")
            .starts_with("clinic:2:7: this bracket is not closed")
    );
    assert!(fault("intent dance solo in table\n  dance\n").contains("no intent is called dance"));
    assert!(
        fault("intent next solo in table\n  go <where>\n")
            .contains("<where> names no list and no rule")
    );
    assert!(fault("intent next solo in garden\n").contains("garden is no situation"));
}

#[test]
fn the_help_sheet_is_one_page_and_has_every_intent() {
    let grammar = grammar();
    let sheet = help::sheet(&grammar);
    // What a page of A4 on its side holds in type of 7 points.
    let pages: Vec<&str> = sheet.split(help::PAGE_END).collect();
    assert_eq!(pages.len(), 3);
    for page in &pages {
        assert!(page.lines().count() <= 80, "{} lines", page.lines().count());
    }
    // Each thing stands on one page only.
    assert!(!pages[0].contains("heart rate") && pages[1].contains("heart rate"));
    assert!(sheet.lines().all(|line| line.len() <= 160));
    // Lines are broken between words.
    let unbroken = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
    // Each sentence on it is understood where it says so, and each intent is in one of them.
    let mut unsaid: BTreeSet<&str> = Situation::ALL
        .into_iter()
        .flat_map(|situation| grammar.book().active(situation))
        .map(|template| template.intent.as_str())
        .collect();
    for pattern in help::patterns() {
        let situation = Situation::from(pattern.when);
        for sentence in &pattern.say {
            assert!(unbroken.contains(sentence), "{sentence}");
            let words = grammar.words(sentence);
            let meaning = grammar.interpret(&words, situation, Species::Dog);
            assert!(
                matches!(meaning, Meaning::Said(_)),
                "{sentence}: {meaning:?}"
            );
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            for reading in matcher::readings(grammar.book(), &words, situation) {
                for clause in reading.prefix.iter().chain(&reading.clauses) {
                    unsaid.remove(clause.intent.as_str());
                }
            }
        }
    }
    // Several teeth before what is found on each are no clause of their own: each tooth is gone to in the reading.
    assert!(unsaid.remove("each") && unbroken.contains("one oh five and two oh five missing"));
    assert!(unsaid.is_empty(), "not on the sheet: {unsaid:?}");
}

#[test]
fn all_forms_are_printed_on_request() {
    let forms = help::forms(&grammar());
    for part in ["tooth <tooth>", "undo (it", "start listening", "heart rate"] {
        assert!(
            forms.contains(part),
            "{part} is not among the forms:\n{forms}"
        );
    }
}

fn with_own(rows: &[(&str, &str)]) -> Result<Grammar, GrammarError> {
    let sayings: Vec<Saying> = rows
        .iter()
        .enumerate()
        .map(|(at, (say, means))| Saying {
            say: (*say).to_owned(),
            means: (*means).to_owned(),
            line: at + 1,
        })
        .collect();
    Grammar::for_clinic(None, None, &sayings, &[])
}

#[test]
fn a_clinic_says_things_in_its_own_way() {
    let grammar = with_own(&[
        ("loose grade <grade_to_three>", "mobility <grade_to_three>"),
        ("(nerve showing | pulp open)", "complicated crown fracture"),
        ("two loose ones", "mobility two"),
        ("well [yes] indeed", "confirm"),
    ])
    .unwrap();
    let graph = grammar.graph(Situation::Table);
    let meaning = |sentence: &str| {
        grammar.interpret(&grammar.words(sentence), Situation::Table, Species::Dog)
    };
    for (own, plain) in [
        ("loose grade two", "mobility two"),
        (
            "tooth 104 loose grade three pulp open extract",
            "tooth 104 mobility three complicated crown fracture extract",
        ),
        ("no loose grade one", "no mobility one"),
        ("two loose ones", "mobility two"),
        ("well indeed", "confirm"),
    ] {
        assert_eq!(meaning(own), meaning(plain), "{own}");
        assert!(matches!(meaning(own), Meaning::Said(_)), "{own}");
        assert!(graph.accepts(&grammar.words(own)), "{own}");
    }
    // What begins with a number stands alone, so that no run of numbers can be cut in two ways.
    assert_eq!(
        meaning("buccal three three two loose ones"),
        Meaning::NotUnderstood
    );
    assert!(help::sheet(&grammar).contains("loose grade 0..3 (= mobility 0..3)"));
}

#[test]
fn a_drug_of_the_house_is_said_as_the_others() {
    let with = |names: &[&str]| {
        let names: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
        Grammar::for_clinic(None, None, &[], &names)
    };
    let grammar = with(&["cefovecin", "co-amoxiclav", "atropine"]).unwrap();
    let meaning = |grammar: &Grammar, sentence: &str| {
        grammar.interpret(&grammar.words(sentence), Situation::Table, Species::Dog)
    };
    for sentence in [
        "cefovecin 80 milligrams under the skin",
        "given co-amoxiclav one point five mils",
        "medicine cefovecin given",
    ] {
        let said = meaning(&grammar, sentence);
        assert!(matches!(said, Meaning::Said(_)), "{sentence}: {said:?}");
        assert!(
            grammar
                .graph(Situation::Table)
                .accepts(&grammar.words(sentence)),
            "{sentence}"
        );
    }
    assert_eq!(
        meaning(&self::grammar(), "cefovecin 80 milligrams"),
        Meaning::NotUnderstood
    );
    // A name whose words are a sentence already.
    let refused = with(&["confirm"]).unwrap_err().to_string();
    assert!(
        refused.contains("clinic.toml") && refused.contains("by another name"),
        "{refused}"
    );
}

#[test]
fn own_sentences_that_clash_are_refused_with_both() {
    let refused = |say: &str, means: &str| with_own(&[(say, means)]).unwrap_err().to_string();
    let text = refused("normal extract", "leave");
    assert!(text.contains("clinic.toml:1"), "{text}");
    assert!(
        text.contains("\"normal\" (normal) and \"extract\" (extract)")
            && text.contains("\"normal extract\" (the clinic's own, meaning leave)"),
        "{text}"
    );
    // Only together with what may stand before it.
    let text = refused("instead of one", "normal");
    assert!(text.contains("two meanings"), "{text}");
    assert!(refused("wobbly", "mobility two").contains("too short"));
    assert!(refused("very wobbly", "wobbles a lot").contains("not one sentence"));
    assert!(refused("very wobbly", "mobility two extract").contains("not one sentence"));
    assert!(refused("very (wobbly", "mobility two").contains("letter 6"));
    assert!(refused("wobbly <grad>", "mobility <grad>").contains("is no list"));
    assert!(refused("wobbly <grade_to_three>", "mobility two").contains("stand once"));
    let both = with_own(&[
        ("very wobbly", "mobility two"),
        ("[so] very wobbly", "mobility three"),
    ]);
    assert!(both.unwrap_err().to_string().contains("two meanings"));
}

#[test]
fn what_a_model_can_never_hear_has_another_way_or_is_told() {
    let grammar = grammar();
    let lost = grammar.lost(&["neck".to_owned(), "furcation".to_owned(), "oh".to_owned()]);
    let instead = |say: &str| {
        lost.iter()
            .find(|lost| lost.say == say)
            .unwrap_or_else(|| panic!("{say} is not told: {lost:?}"))
            .instead
            .clone()
    };
    assert_eq!(instead("grade <grade_from_one> furcation"), None);
    assert!(
        lost.iter()
            .any(|lost| lost.say == "oh" && lost.instead.as_deref() == Some("zero"))
    );
    assert_eq!(instead("neck lesion").as_deref(), Some("cervical lesion"));
    assert_eq!(grammar.lost(&["cauliflower".to_owned()]), []);
    // What is offered can be said.
    for lost in &lost {
        if let Some(instead) = &lost.instead {
            assert!(
                !instead.contains("neck") && !instead.contains("furcation"),
                "{lost:?}"
            );
        }
    }
}

#[test]
fn a_sentence_that_only_others_can_follow_does_not_wait_for_them() {
    let graph = grammar().graph(Situation::Table);
    let may_lengthen = |sentence: &str| {
        let state = sentence.split(' ').fold(WordGraph::START, |state, word| {
            let index = graph.words.iter().position(|one| one.text == word).unwrap();
            graph.step(state, index as u32).unwrap()
        });
        let state = &graph.states[state as usize];
        assert!(state.is_final, "{sentence}");
        state.may_lengthen
    };
    for whole in ["confirm all of it", "what is the plan", "strike this tooth"] {
        assert!(!may_lengthen(whole), "{whole}");
    }
    for beginning in [
        // "... tooth one oh four" at its end says whose it is: cut off there, it would stand for another tooth.
        "buccal three two three",
        "tooth one oh four buccal three two three",
        // "... probes at four" makes "everything" the first word of a reading.
        "confirm everything",
        // Two more depths.
        "buccal three",
        "three two",
        // "instead of three", "through one oh eight normal", "because of ...", "three": a depth.
        "mobility two",
        "tooth one oh four",
        "tooth one oh four palatal two",
        "extract",
        "bleeding disto buccal",
        "confirm",
    ] {
        assert!(may_lengthen(beginning), "{beginning}");
    }
}

#[test]
fn what_is_almost_a_sentence_is_offered_without_its_missing_number() {
    let graph = grammar().graph(Situation::Table);
    let near = |said: &str| nearest::nearest(&graph, &said.split(' ').collect::<Vec<_>>(), 3);
    assert!(
        near("mobility").contains(&"mobility ...".to_owned()),
        "{:?}",
        near("mobility")
    );
    assert!(near("crowm fracture complicated").contains(&"crown fracture complicated".to_owned()));
    // What is offered can be said, once the number is.
    for said in [
        "mobility",
        "the dog extract",
        "furcation two on",
        "palatal pocket",
    ] {
        let offered = near(said);
        assert!(!offered.is_empty(), "{said}");
        for sentence in offered {
            let whole = sentence.replace(nearest::MISSING, "two");
            let can_be_said = graph.accepts(&whole.split(' ').collect::<Vec<_>>());
            assert!(
                can_be_said || sentence.contains(nearest::MISSING),
                "{said}: {sentence}"
            );
        }
    }
    assert_eq!(
        near("purple elephants dance on every sofa tonight"),
        Vec::<String>::new()
    );
}

/// What a recogniser asks: whether two sentences that it cannot tell apart are rivals at all.
#[test]
fn a_graph_knows_which_of_its_sentences_mean_the_same() {
    let graph = Grammar::built_in().unwrap().graph(Situation::Table);
    let are_one = |one: &'static str, other: &'static str| {
        let words = |said: &'static str| -> Vec<&'static str> { said.split(' ').collect() };
        graph.senses.are_one(&words(one), &words(other))
    };
    assert!(are_one("confirm", "confirmed"));
    assert!(are_one("tooth one oh four", "tooth one zero four"));
    assert!(!are_one("confirm", "undo"));
    assert!(!are_one(
        "buccal three two three",
        "buccal three three three"
    ));
    // What is no sentence means nothing, and nothing means nothing the same.
    assert!(!are_one("kettle", "kettle"));
}
