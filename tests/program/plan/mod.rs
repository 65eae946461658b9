//! The plan against its sources: every check value is a row of `tests/data/plan/checks.tsv` with its source, every
//! rule of the data files has at least one row, and whole patients are kept as golden files.
//! `UPDATE_EXPECT=1 cargo test --test program plan` rewrites golden files and the printed table.

mod ask;
mod script;

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use sulcus::plan::{self, Settings};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// One row: key(s) of the rule, patient, settings, earlier chart, chart, question, answer, source.
struct Row {
    line: usize,
    rules: Vec<String>,
    patient: String,
    settings: String,
    earlier: String,
    chart: String,
    ask: String,
    expected: String,
    sources: Vec<String>,
}

fn rows() -> Vec<Row> {
    let path = root().join("tests/data/plan/checks.tsv");
    let text = fs::read_to_string(&path).expect("checks.tsv");
    let mut rows = Vec::new();
    for (at, line) in text.lines().enumerate() {
        if line.is_empty() || line.starts_with('#') || line.starts_with("rules\t") {
            continue;
        }
        let cells: Vec<&str> = line.split('\t').collect();
        let [
            rules,
            patient,
            settings,
            earlier,
            chart,
            ask,
            expected,
            sources,
        ] = cells.as_slice()
        else {
            panic!(
                "checks.tsv line {}: {} columns, 8 wanted",
                at + 1,
                cells.len()
            );
        };
        rows.push(Row {
            line: at + 1,
            rules: rules.split_whitespace().map(str::to_owned).collect(),
            patient: (*patient).into(),
            settings: (*settings).into(),
            earlier: (*earlier).into(),
            chart: (*chart).into(),
            ask: (*ask).into(),
            expected: (*expected).into(),
            sources: sources.split_whitespace().map(str::to_owned).collect(),
        });
    }
    rows
}

#[test]
fn every_check_value_holds() {
    let mut wrong = Vec::new();
    for row in rows() {
        let settings = Settings::from_toml(&row.settings.replace("\\n", "\n")).expect("settings");
        let patient = script::patient(&row.patient);
        let earlier = (!row.earlier.is_empty()).then(|| {
            script::record(
                &patient,
                &row.earlier,
                1,
                script::OPENED_SECOND - 180 * 86_400,
            )
        });
        let record = script::record(&patient, &row.chart, 2, script::OPENED_SECOND);
        let past: Vec<_> = earlier.into_iter().collect();
        let answer = ask::answer(&row.ask, &record, &past, &settings);
        if answer != row.expected {
            wrong.push(format!(
                "line {}: {} of {:?}: expected {:?}, got {answer:?}",
                row.line, row.ask, row.chart, row.expected
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} check values fail:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn every_rule_has_a_known_source_and_a_check_and_a_key_of_its_own() {
    let rules = plan::rules();
    let rows = rows();
    let mut wrong = Vec::new();
    let mut keys = BTreeMap::new();
    for (key, _, sources) in rules.table() {
        if sources.is_empty() {
            wrong.push(format!("{key} names no source"));
        }
        for source in sources {
            if !rules.sources.contains_key(source) {
                wrong.push(format!(
                    "{key} names {source}, which sources.toml does not explain"
                ));
            }
        }
        if !rows.iter().any(|row| row.rules.iter().any(|of| of == key)) {
            wrong.push(format!("{key} has no row in checks.tsv"));
        }
        *keys.entry(key).or_insert(0) += 1;
    }
    for (key, count) in &keys {
        // Film sizes share one key: they are one rule with a row for each patient.
        if *count > 1 && *key != "film_size" {
            wrong.push(format!("{key} is the key of {count} rules"));
        }
    }
    for row in &rows {
        for rule in row
            .rules
            .iter()
            .filter(|rule| !keys.contains_key(rule.as_str()))
        {
            wrong.push(format!(
                "checks.tsv line {} names {rule}, which is no rule",
                row.line
            ));
        }
        for source in row
            .sources
            .iter()
            .filter(|source| !rules.sources.contains_key(*source))
        {
            wrong.push(format!(
                "checks.tsv line {} names {source}, which is no source",
                row.line
            ));
        }
        if row.sources.is_empty() {
            wrong.push(format!("checks.tsv line {} names no source", row.line));
        }
    }
    for rule in &rules.guidance {
        for word in rule
            .suggests
            .iter()
            .chain(&rule.conflicts_with)
            .chain(&rule.when.decision)
        {
            if !plan::DECISION_KEYS.contains(&word.as_str()) {
                wrong.push(format!("{} names {word}, which is no decision", rule.key));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Compares with the file; rewrites it where UPDATE_EXPECT is set.
fn golden(path: &str, text: &str) {
    let file = root().join(path);
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        fs::write(&file, text).expect("golden file written");
        return;
    }
    let expected = fs::read_to_string(&file).unwrap_or_default();
    assert!(
        expected == text,
        "{path} differs; read the difference after UPDATE_EXPECT=1 cargo test --test program plan\n{text}"
    );
}

#[test]
fn the_printed_table_of_rules_is_up_to_date() {
    let rules = plan::rules();
    let rows = rows();
    let mut text = String::from(
        "# Rules of the plan\n\n\
         Each rule, its source, and the lines of `tests/data/plan/checks.tsv` that check it.\n\
         Made by `UPDATE_EXPECT=1 cargo test --test program plan`; do not edit by hand.\n\
         MEM: from memory, check before relying on it. PRACTICE: common practice, no source. \
         CALC: worked out from the other rules.\n\n\
         | rule | says | source | checked in lines |\n|---|---|---|---|\n",
    );
    for (key, says, sources) in rules.table() {
        let lines: Vec<String> = rows
            .iter()
            .filter(|row| row.rules.iter().any(|of| of == key))
            .map(|row| row.line.to_string())
            .collect();
        let says = says.replace('|', "/");
        text += &format!(
            "| {key} | {says} | {} | {} |\n",
            sources.join(", "),
            lines.join(", ")
        );
    }
    text += "\n## Ceilings of local anaesthetics\n\n| drug | animal | mg/kg | in a mix only | source |\n|---|---|---|---|---|\n";
    for row in sulcus::terms::anaesthetic::PUBLISHED {
        text += &format!(
            "| {} | {} | {} | {} | {} |\n",
            row.drug.word(),
            row.species.word(),
            f64::from(row.mg_per_kg_tenths) / 10.0,
            if row.when_mixed { "yes" } else { "no" },
            row.source
        );
    }
    text +=
        "\nThe lowest of a drug and animal counts.\n\n## Sources\n\n| key | source |\n|---|---|\n";
    for (key, title) in &rules.sources {
        text += &format!("| {key} | {title} |\n");
    }
    golden("docs/plan-rules.md", &text);
}

/// A patient of the folder: first line the patient, then the chart; `--- earlier` parts off an earlier visit,
/// `--- settings` the clinic file.
fn whole_patient(name: &str) -> (plan::Plan, Vec<plan::Sentence>) {
    let path = root().join(format!("tests/data/plan/patients/{name}.chart"));
    let text = fs::read_to_string(path).expect("a chart");
    let mut parts: BTreeMap<&str, String> = BTreeMap::new();
    let mut part = "now";
    for line in text.lines() {
        match line.strip_prefix("--- ") {
            Some(title) => part = title.trim(),
            None => *parts.entry(part).or_default() += &format!("{line}\n"),
        }
    }
    let (patient, chart) = parts["now"].split_once('\n').expect("a patient line");
    let patient = script::patient(patient);
    let settings =
        Settings::from_toml(parts.get("settings").map_or("", String::as_str)).expect("settings");
    let past: Vec<_> = parts
        .get("earlier")
        .map(|chart| script::record(&patient, chart, 1, script::OPENED_SECOND - 180 * 86_400))
        .into_iter()
        .collect();
    let record = script::record(&patient, chart, 2, script::OPENED_SECOND);
    let plan = plan::make(&record, &past, &settings);
    let mut said = plan::spoken(&plan);
    for tooth in plan
        .comparison
        .iter()
        .flat_map(|comparison| &comparison.teeth)
    {
        if !tooth.changes.is_empty() {
            said.extend(plan::spoken::comparison(tooth));
        }
    }
    (plan, said)
}

#[test]
fn whole_patients_are_as_kept() {
    let folder = root().join("tests/data/plan/patients");
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("patients")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|name| Some(name.strip_suffix(".chart")?.to_owned()))
        .collect();
    names.sort();
    assert!(
        names.len() >= 4,
        "the demo dog and cat, a young dog and a full-mouth cat are there"
    );
    for name in names {
        let (plan, said) = whole_patient(&name);
        let folder = "tests/data/plan/patients";
        golden(&format!("{folder}/{name}.txt"), &plan::text(&plan));
        // The JSON of the two demonstration patients is enough to show its form.
        if name.starts_with("demo_") {
            let json = serde_json::to_string_pretty(&plan).expect("serialises");
            golden(&format!("{folder}/{name}.json"), &(json + "\n"));
        }
        let said: String = said
            .iter()
            .map(|sentence| format!("{sentence}\n"))
            .collect();
        golden(&format!("{folder}/{name}.spoken"), &said);
    }
}

#[test]
fn no_spoken_sentence_is_longer_than_twelve_words() {
    for name in ["demo_dog", "demo_cat"] {
        let (_, said) = whole_patient(name);
        assert!(!said.is_empty());
        for sentence in said {
            assert!(
                sentence.word_count() <= plan::spoken::WORDS_MAX,
                "{sentence}"
            );
        }
    }
}

#[test]
fn the_example_clinic_file_is_read_and_slips_are_refused() {
    let text = fs::read_to_string(root().join("docs/clinic-example.toml")).expect("the example");
    let clinic = sulcus::app::clinic::Clinic::read(&text).expect("the example is right");
    clinic.grammar().expect("its own sentences clash with none");
    let settings = clinic.plan;
    assert_eq!(settings.limits.anaesthetic_minutes_max, Some(120));
    for (wrong, said) in [
        (
            "limits.dog_normal_depth_mm = 30",
            "limits.dog_normal_depth_mm",
        ),
        ("limits.dog_normal_depth = 3", "unknown field"),
        ("anaesthetic.lidocaine_percent = 20.0", "0.05 to 5 per cent"),
        ("times.film = [3, 1]", "times.film"),
    ] {
        let error = Settings::from_toml(wrong).expect_err(wrong).to_string();
        assert!(error.contains(said), "{error}");
    }
}

/// Writes visits into a real journal.
fn journal(folder: &std::path::Path, visits: &[(u128, i64, &str, &str)]) {
    let mut journal = sulcus::record::Journal::open(folder).expect("opens");
    for (visit, second, patient, chart) in visits {
        let visit = uuid::Uuid::from_u128(*visit);
        for (minute, event) in script::events(&script::patient(patient), chart) {
            use sulcus::clock::Clock as _;
            let mut clock = sulcus::clock::SetClock::at_second(*second);
            clock.advance_ms(minute * 60_000);
            let draft = sulcus::record::Draft::new(event, None);
            journal.append(visit, &[draft], clock.0).expect("saves");
        }
    }
}

fn sulcus(folder: &std::path::Path, arguments: &[&str]) -> (i32, String, String) {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_sulcus"))
        .arg("--data")
        .arg(folder)
        .args(arguments)
        .output()
        .expect("the program runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    (
        output.status.code().unwrap_or(-1),
        text(output.stdout),
        text(output.stderr),
    )
}

#[test]
fn the_commands_plan_and_compare_read_a_real_journal() {
    let folder = tempfile::tempdir().expect("a folder");
    let dog = "dog 12kg name=Pepper id=7";
    let cat = "cat 3kg name=Miso id=8";
    let blocks = "did block maxillary left bupivacaine 0.4 0.5; did block maxillary right bupivacaine 0.4 0.5";
    let opened = script::OPENED_SECOND;
    journal(
        folder.path(),
        &[
            (
                0xaaaa_0000_0000_0000_0000_0000_0000_0001,
                opened - 90 * 86_400,
                dog,
                "309 depths 4 3 3 3 3 3; decide 309 monitor 3",
            ),
            (
                0xbbbb_0000_0000_0000_0000_0000_0000_0002,
                opened - 86_400,
                cat,
                blocks,
            ),
            (
                0xcccc_0000_0000_0000_0000_0000_0000_0003,
                opened,
                dog,
                "309 depths 7 3 3 3 3 3; did anaesthesia_started",
            ),
        ],
    );
    let (code, text, _) = sulcus(folder.path(), &["plan", "last"]);
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("309 PROGRESSED, was monitored"), "{text}");
    let (code, json, _) = sulcus(folder.path(), &["plan", "cccc", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(
        (code, &json["version"], &json["teeth"][0]["tooth"]),
        (0, &1.into(), &309.into())
    );
    // Over the ceiling: the work was done and found a problem.
    let (code, text, _) = sulcus(folder.path(), &["plan", "bbbb"]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("STOP"), "{text}");
    let (code, text, _) = sulcus(folder.path(), &["compare", "last", "--tooth", "309"]);
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("depth mesiobuccal: 4 mm -> 7 mm"), "{text}");
    let (code, _, error) = sulcus(folder.path(), &["compare", "cccc", "--with", "bbbb"]);
    assert_eq!(code, 2, "{error}");
    let (code, _, error) = sulcus(folder.path(), &["plan", "dddd"]);
    assert_eq!(code, 1);
    assert!(error.contains("no visit begins with"), "{error}");
    let clinic = folder.path().join("clinic.toml");
    fs::write(&clinic, "limits.dog_normal_depth_mm = 99").expect("written");
    let (code, _, error) = sulcus(
        folder.path(),
        &["plan", "cccc", "--clinic", clinic.to_str().expect("a name")],
    );
    assert_eq!(code, 1);
    assert!(
        error.contains("clinic.toml") && error.contains("1 to 5 mm"),
        "{error}"
    );
}
