//! Short written words for findings, decisions and places, shared by the plan's text, sheets and comparison.
//! Makes no sentence that is spoken; see `spoken`.

use crate::record::Record;
use crate::session::read_back::entrance_word;
use crate::terms::{Finding, Jaw, Kind, MouthSide, Place, Site, Subject, ToothNumber, Value};

/// "F2", "M1", "gingival enlargement 3 mm", "CCF". Depths and recession are shown as numbers of sites instead.
pub fn finding(finding: &Finding) -> String {
    let spec = finding.kind.spec();
    let name = spec.abbreviation.unwrap_or(spec.title);
    let mut text = match (finding.kind, &finding.value) {
        (
            Kind::Furcation | Kind::Mobility | Kind::Plaque | Kind::Calculus | Kind::Gingivitis,
            Value::Grade(grade),
        ) => {
            format!("{name}{grade}")
        }
        (Kind::Fracture, Value::Code(code)) => format!("{name}/{code}"),
        (Kind::ResorptionStage, Value::Code(code)) if code == "unstaged" => name.to_owned(),
        (Kind::ResorptionStage, Value::Code(code)) => format!("{name}{code}"),
        (Kind::Wear | Kind::EnamelDefect | Kind::Malposition, Value::Code(code)) => {
            format!("{} {code}", spec.title)
        }
        (_, Value::Code(code)) => format!("{} {code}", spec.title),
        (_, Value::Grade(grade)) => format!("{} {grade}", spec.title),
        (_, Value::Mm(mm)) => format!("{} {mm} mm", spec.title),
        (_, Value::Percent(percent)) => format!("{} {percent} %", spec.title),
        (_, Value::Present) => spec.title.to_owned(),
    };
    match finding.place {
        Place::Whole => {}
        Place::Site(at) => text += &format!(" {}", site(finding.subject, at)),
        Place::Entrance(entrance) => {
            let word = match finding.subject {
                Subject::Tooth(tooth) => entrance_word(tooth, entrance).to_owned(),
                Subject::Mouth => format!("{entrance:?}").to_lowercase(),
            };
            text += &format!(" {word}");
        }
        Place::Root(root) => text += &format!(" {}", root.word()),
        Place::Area(area, side) => {
            let area: String = format!("{area:?}")
                .chars()
                .enumerate()
                .flat_map(|(at, c)| {
                    let gap = (c.is_uppercase() && at > 0).then_some(' ');
                    gap.into_iter().chain(c.to_lowercase())
                })
                .collect();
            let side = side
                .map(|side| format!("{} ", mouth_side(side)))
                .unwrap_or_default();
            text += &format!(", {side}{area}");
        }
    }
    text
}

/// All findings of a tooth but depths and recession by site.
pub fn findings(record: &Record, tooth: ToothNumber) -> Vec<String> {
    record
        .findings_of(tooth)
        .filter(|(f, _)| {
            !(matches!(f.kind, Kind::Depth | Kind::Recession) && matches!(f.place, Place::Site(_)))
        })
        .map(|(f, _)| finding(f))
        .collect()
}

/// "mesiobuccal"; for the tongue side of upper teeth "mid palatal".
pub fn site(subject: Subject, site: Site) -> &'static str {
    let is_upper = matches!(subject, Subject::Tooth(tooth) if tooth.jaw() == Jaw::Upper);
    match (site, is_upper) {
        (Site::MesioBuccal, _) => "mesiobuccal",
        (Site::Buccal, _) => "mid buccal",
        (Site::DistoBuccal, _) => "distobuccal",
        (Site::MesioLingual, true) => "mesiopalatal",
        (Site::Lingual, true) => "mid palatal",
        (Site::DistoLingual, true) => "distopalatal",
        (Site::MesioLingual, false) => "mesiolingual",
        (Site::Lingual, false) => "mid lingual",
        (Site::DistoLingual, false) => "distolingual",
    }
}

pub fn mouth_side(side: MouthSide) -> &'static str {
    match side {
        MouthSide::Right => "right",
        MouthSide::Left => "left",
    }
}

pub fn jaw(jaw: Jaw) -> &'static str {
    match jaw {
        Jaw::Upper => "upper",
        Jaw::Lower => "lower",
    }
}

/// "root canal" for "root_canal".
pub fn spaced(key: &str) -> String {
    key.replace('_', " ")
}

/// A decision as said: "closed root planing".
pub fn decision(key: &str) -> String {
    match key {
        "root_planing_closed" => "closed root planing".to_owned(),
        "root_planing_open" => "open root planing".to_owned(),
        key => spaced(key),
    }
}

/// "104", "104 and 204", "104, 105 and 204".
pub fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

pub fn teeth(teeth: &[ToothNumber]) -> String {
    list(&teeth.iter().map(ToString::to_string).collect::<Vec<_>>())
}

/// For the owner: "upper left fourth premolar (208)".
pub fn plain_tooth(tooth: ToothNumber) -> String {
    let kind = match tooth.position() {
        1..=3 => "front tooth",
        4 => "fang tooth (canine)",
        5..=8 => "cheek tooth (premolar)",
        _ => "back tooth (molar)",
    };
    let milk = if tooth.is_deciduous() { "baby " } else { "" };
    format!(
        "{} {} {milk}{kind}, number {tooth}",
        jaw(tooth.jaw()),
        mouth_side(tooth.mouth_side())
    )
}

/// Hundredths as a decimal: 80 is "0.8", 75 is "0.75", 200 is "2".
pub fn hundredths(value: u32) -> String {
    let text = format!("{}.{:02}", value / 100, value % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Micrograms as milligrams, rounded down to hundredths.
pub fn mg(ug: u64) -> String {
    hundredths(u32::try_from(ug / 10).unwrap_or(u32::MAX))
}
