//! What the vet can find: a kind, where it is, and its value.
//! The table [`Kind::spec`] is the one place that says which values and places a kind may have.
//! Abbreviations follow the American Veterinary Dental College's published nomenclature where one exists.

use serde::{Deserialize, Serialize};

use super::tooth::{Entrance, MouthSide, Root, Site, ToothNumber};

/// Every kind of finding. The name in JSON is the snake-case name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Looked at and nothing abnormal found. Never stands for depths that were not read.
    Normal,
    Absent,
    Unerupted,
    PersistentDeciduous,
    Supernumerary,
    RootRetained,
    Depth,
    Recession,
    Enlargement,
    Bleeding,
    Furcation,
    Mobility,
    Plaque,
    Calculus,
    Gingivitis,
    Fracture,
    ResorptionStage,
    ResorptionType,
    Wear,
    Caries,
    EnamelDefect,
    Discoloured,
    PulpExposed,
    /// Disease at the root tip, as read from a film.
    PeriapicalLesion,
    Rotated,
    Crowded,
    Malposition,
    OronasalFistula,
    Mass,
    Ulcer,
    Swelling,
    Laceration,
    ForeignBody,
    Occlusion,
    Crossbite,
    OpenBite,
    Stomatitis,
    /// Root length in mm, read from a film; needed for the share of attachment lost.
    RootLength,
    /// The film was read and shows nothing abnormal there.
    FilmClear,
    /// The film does not show what it should: another is needed.
    FilmUnreadable,
    LigamentWide,
    /// No ligament line on film: the root is joined to the bone.
    Ankylosis,
    BoneLoss,
    BoneLossHorizontal,
    BoneLossVertical,
    RootResorption,
    RootFracture,
    RootUnusual,
    PulpWidth,
    /// Dark round the crown of a tooth in the bone.
    Cyst,
    /// Patchy destruction of bone: think of a tumour.
    BoneLysis,
    JawFracture,
    JawBoneThin,
    /// Under a deciduous tooth the film shows no permanent one.
    SuccessorLacking,
    /// Across its greatest length; that length is the size of the lesion itself.
    LesionWidth,
    LesionHeight,
    LesionShape,
    LesionSurface,
    /// Against what is around it.
    LesionColour,
    LesionFeel,
    /// Against the ground it grows on.
    LesionHold,
    /// Which third of the part of the mouth: where it stands in the picture.
    LesionPart,
    Vitality,
    /// Light held behind the tooth: a living pulp lets it through.
    Transillumination,
    NearExposure,
    Extrusion,
    BoneExpansion,
    /// Moved in its socket by force, and still in it.
    Luxation,
    /// Out of its socket by force.
    Avulsion,
    /// At its joint, on that side.
    JawLuxated,
}

/// What values a kind takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// It is there.
    Present,
    /// Whole millimetres, up to the given.
    Mm(u8),
    /// Whole grade, from and to inclusive.
    Grade(u8, u8),
    /// One of the words.
    Code(&'static [&'static str]),
    /// It is there, with or without a size in mm.
    Size(u8),
    /// Whole per cent, up to 100.
    Percent,
}

/// Where a kind may be said of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// The tooth as a whole.
    Tooth,
    /// One of the six sites.
    Site,
    /// One of the six sites, or the tooth as a whole.
    SiteOrTooth,
    /// A way into the fork, or the tooth as a whole where it was not said.
    Entrance,
    /// One of the roots, or the tooth as a whole.
    RootOrTooth,
    /// The mouth as a whole.
    Mouth,
    /// A part of the mouth, or beside a tooth.
    AreaOrTooth,
}

/// One row of the table of kinds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spec {
    /// As said and shown.
    pub title: &'static str,
    /// The profession's abbreviation, where a published one exists.
    pub abbreviation: Option<&'static str>,
    pub form: Form,
    pub reach: Reach,
}

/// Fracture classes, least to worst [VK-34].
pub const FRACTURES: &[&str] = &["EI", "EF", "UCF", "UCRF", "CCF", "CCRF", "RF"];
/// Resorption stages; 4 without a letter is taken and the letter asked for. "unstaged": only the older word
/// "neck lesion" was said.
pub const RESORPTION_STAGES: &[&str] = &["unstaged", "1", "2", "3", "4", "4a", "4b", "4c", "5"];

impl Kind {
    pub const ALL: [Self; 70] = [
        Self::Normal,
        Self::Absent,
        Self::Unerupted,
        Self::PersistentDeciduous,
        Self::Supernumerary,
        Self::RootRetained,
        Self::Depth,
        Self::Recession,
        Self::Enlargement,
        Self::Bleeding,
        Self::Furcation,
        Self::Mobility,
        Self::Plaque,
        Self::Calculus,
        Self::Gingivitis,
        Self::Fracture,
        Self::ResorptionStage,
        Self::ResorptionType,
        Self::Wear,
        Self::Caries,
        Self::EnamelDefect,
        Self::Discoloured,
        Self::PulpExposed,
        Self::PeriapicalLesion,
        Self::Rotated,
        Self::Crowded,
        Self::Malposition,
        Self::OronasalFistula,
        Self::Mass,
        Self::Ulcer,
        Self::Swelling,
        Self::Laceration,
        Self::ForeignBody,
        Self::Occlusion,
        Self::Crossbite,
        Self::OpenBite,
        Self::Stomatitis,
        Self::RootLength,
        Self::FilmClear,
        Self::FilmUnreadable,
        Self::LigamentWide,
        Self::Ankylosis,
        Self::BoneLoss,
        Self::BoneLossHorizontal,
        Self::BoneLossVertical,
        Self::RootResorption,
        Self::RootFracture,
        Self::RootUnusual,
        Self::PulpWidth,
        Self::Cyst,
        Self::BoneLysis,
        Self::JawFracture,
        Self::JawBoneThin,
        Self::SuccessorLacking,
        Self::LesionWidth,
        Self::LesionHeight,
        Self::LesionShape,
        Self::LesionSurface,
        Self::LesionColour,
        Self::LesionFeel,
        Self::LesionHold,
        Self::LesionPart,
        Self::Vitality,
        Self::Transillumination,
        Self::NearExposure,
        Self::Extrusion,
        Self::BoneExpansion,
        Self::Luxation,
        Self::Avulsion,
        Self::JawLuxated,
    ];

    /// What grows or is sore, and is described.
    pub const LESIONS: [Self; 4] = [Self::Mass, Self::Ulcer, Self::Swelling, Self::Laceration];

    /// How a lesion is described; of the lesion at the same place.
    pub const OF_LESIONS: [Self; 8] = [
        Self::LesionWidth,
        Self::LesionHeight,
        Self::LesionShape,
        Self::LesionSurface,
        Self::LesionColour,
        Self::LesionFeel,
        Self::LesionHold,
        Self::LesionPart,
    ];

    /// Those that only a film shows.
    pub const OF_FILMS: [Self; 17] = [
        Self::PeriapicalLesion,
        Self::FilmClear,
        Self::FilmUnreadable,
        Self::LigamentWide,
        Self::Ankylosis,
        Self::BoneLoss,
        Self::BoneLossHorizontal,
        Self::BoneLossVertical,
        Self::RootResorption,
        Self::RootFracture,
        Self::RootUnusual,
        Self::PulpWidth,
        Self::Cyst,
        Self::BoneLysis,
        Self::JawFracture,
        Self::JawBoneThin,
        Self::SuccessorLacking,
    ];

    pub fn spec(self) -> Spec {
        let row = |title, abbreviation, form, reach| Spec {
            title,
            abbreviation,
            form,
            reach,
        };
        use Form::{Code, Grade, Mm, Percent, Present, Size};
        match self {
            Self::Normal => row("normal", None, Present, Reach::Tooth),
            Self::Absent => row("missing", None, Present, Reach::Tooth),
            Self::Unerupted => row("unerupted", None, Present, Reach::Tooth),
            Self::PersistentDeciduous => {
                row("persistent deciduous", Some("DT/P"), Present, Reach::Tooth)
            }
            Self::Supernumerary => row(
                "supernumerary beside",
                Some("T/SN"),
                Code(&["mesial", "distal", "buccal", "lingual"]),
                Reach::Tooth,
            ),
            Self::RootRetained => row("root retained", Some("RTR"), Present, Reach::Tooth),
            // 20 mm: beyond the scale of common probes; a bigger number is a slip.
            Self::Depth => row("depth", Some("PD"), Mm(20), Reach::Site),
            Self::Recession => row("recession", Some("GR"), Mm(20), Reach::SiteOrTooth),
            Self::Enlargement => row(
                "gingival enlargement",
                Some("GE"),
                Size(20),
                Reach::SiteOrTooth,
            ),
            Self::Bleeding => row("bleeding", None, Present, Reach::SiteOrTooth),
            Self::Furcation => row("furcation", Some("F"), Grade(1, 3), Reach::Entrance),
            Self::Mobility => row("mobility", Some("M"), Grade(0, 3), Reach::Tooth),
            Self::Plaque => row("plaque", Some("PI"), Grade(0, 3), Reach::Tooth),
            Self::Calculus => row("calculus", Some("CI"), Grade(0, 3), Reach::Tooth),
            Self::Gingivitis => row("gingivitis", Some("GI"), Grade(0, 3), Reach::Tooth),
            Self::Fracture => row("fracture", Some("T/FX"), Code(FRACTURES), Reach::Tooth),
            Self::ResorptionStage => row(
                "resorption stage",
                Some("TR"),
                Code(RESORPTION_STAGES),
                Reach::Tooth,
            ),
            Self::ResorptionType => row("resorption type", None, Grade(1, 3), Reach::Tooth),
            // Attrition (tooth on tooth) and abrasion (tooth on object) are never merged [AVDC-TEETH].
            Self::Wear => row(
                "wear",
                None,
                Code(&["attrition", "abrasion", "erosion"]),
                Reach::Tooth,
            ),
            Self::Caries => row("caries", Some("CA"), Present, Reach::Tooth),
            Self::EnamelDefect => row(
                "enamel",
                Some("ED"),
                Code(&["defect", "hypoplasia", "hypomineralisation"]),
                Reach::Tooth,
            ),
            Self::Discoloured => row("discoloured", None, Present, Reach::Tooth),
            Self::PulpExposed => row("pulp exposed", Some("T/PE"), Present, Reach::Tooth),
            Self::PeriapicalLesion => {
                row("periapical lesion", Some("PA"), Present, Reach::RootOrTooth)
            }
            Self::Rotated => row("rotated", None, Present, Reach::Tooth),
            Self::Crowded => row("crowded", Some("CWD"), Present, Reach::Tooth),
            Self::Malposition => row(
                "position",
                Some("MAL"),
                Code(&[
                    "distoversion",
                    "mesioversion",
                    "linguoversion",
                    "palatoversion",
                    "labioversion",
                    "buccoversion",
                ]),
                Reach::Tooth,
            ),
            Self::OronasalFistula => row("oronasal fistula", Some("ONF"), Present, Reach::Tooth),
            Self::Mass => row("mass", Some("OM"), Size(150), Reach::AreaOrTooth),
            Self::Ulcer => row("ulcer", None, Size(150), Reach::AreaOrTooth),
            Self::Swelling => row("swelling", None, Size(150), Reach::AreaOrTooth),
            Self::Laceration => row("laceration", Some("LAC"), Size(150), Reach::AreaOrTooth),
            Self::ForeignBody => row("foreign body", Some("FB"), Present, Reach::AreaOrTooth),
            Self::Occlusion => row("occlusion class", Some("MAL"), Grade(0, 4), Reach::Mouth),
            Self::Crossbite => row(
                "crossbite",
                Some("CB"),
                Code(&["rostral", "caudal"]),
                Reach::Mouth,
            ),
            Self::OpenBite => row("open bite", Some("OB"), Present, Reach::Mouth),
            Self::Stomatitis => row(
                "stomatitis",
                Some("ST"),
                Code(&["general", "caudal"]),
                Reach::Mouth,
            ),
            Self::RootLength => row("root length", None, Mm(60), Reach::Tooth),
            Self::FilmClear => row("film clear", None, Present, Reach::RootOrTooth),
            Self::FilmUnreadable => row("film not diagnostic", None, Present, Reach::RootOrTooth),
            Self::LigamentWide => row("wide ligament space", None, Present, Reach::RootOrTooth),
            Self::Ankylosis => row("no ligament line", None, Present, Reach::RootOrTooth),
            Self::BoneLoss => row("bone loss", None, Percent, Reach::RootOrTooth),
            Self::BoneLossHorizontal => {
                row("horizontal bone loss", None, Percent, Reach::RootOrTooth)
            }
            Self::BoneLossVertical => row("vertical bone loss", None, Percent, Reach::RootOrTooth),
            // The human scheme fitted 908 of 943 affected teeth of dogs [AJVR-TR2].
            Self::RootResorption => row(
                "root resorption",
                None,
                Code(&[
                    "surface",
                    "inflammatory",
                    "replacement",
                    "cervical",
                    "internal",
                ]),
                Reach::RootOrTooth,
            ),
            Self::RootFracture => row("root fracture on film", None, Present, Reach::RootOrTooth),
            Self::RootUnusual => row(
                "root",
                None,
                Code(&["bent", "extra", "fused"]),
                Reach::RootOrTooth,
            ),
            Self::PulpWidth => row(
                "pulp cavity",
                None,
                Code(&["wide", "narrow", "mineralised"]),
                Reach::RootOrTooth,
            ),
            Self::Cyst => row("cyst round the crown", None, Present, Reach::Tooth),
            Self::BoneLysis => row("bone lysis", None, Present, Reach::Tooth),
            Self::JawFracture => row("jaw fracture", None, Present, Reach::Tooth),
            Self::JawBoneThin => row("thin jaw bone", None, Present, Reach::Tooth),
            Self::SuccessorLacking => row("no successor on film", None, Present, Reach::Tooth),
            Self::LesionWidth => row("lesion width", None, Mm(150), Reach::AreaOrTooth),
            Self::LesionHeight => row("lesion height", None, Mm(150), Reach::AreaOrTooth),
            Self::LesionShape => row(
                "lesion shape",
                None,
                Code(&["round", "irregular", "stalked", "broad_based", "flat"]),
                Reach::AreaOrTooth,
            ),
            Self::LesionSurface => row(
                "lesion surface",
                None,
                Code(&["smooth", "rough", "ulcerated", "bleeding"]),
                Reach::AreaOrTooth,
            ),
            Self::LesionColour => row(
                "lesion colour",
                None,
                Code(&["as_around", "red", "dark", "white", "yellow", "mixed"]),
                Reach::AreaOrTooth,
            ),
            Self::LesionFeel => row(
                "lesion feel",
                None,
                Code(&["firm", "soft"]),
                Reach::AreaOrTooth,
            ),
            Self::LesionHold => row(
                "lesion",
                None,
                Code(&["fixed", "movable"]),
                Reach::AreaOrTooth,
            ),
            Self::LesionPart => row(
                "lesion at",
                None,
                Code(&["front", "middle", "back"]),
                Reach::AreaOrTooth,
            ),
            Self::Vitality => row(
                "pulp",
                None,
                Code(&["vital", "non_vital", "doubtful"]),
                Reach::Tooth,
            ),
            Self::Transillumination => row(
                "light through the tooth",
                None,
                Code(&["bright", "dull"]),
                Reach::Tooth,
            ),
            Self::NearExposure => row("near pulp exposure", Some("T/NE"), Present, Reach::Tooth),
            Self::Extrusion => row("extruded", Some("ATE"), Size(20), Reach::Tooth),
            Self::BoneExpansion => row("bone expansion", Some("ABE"), Present, Reach::Tooth),
            Self::Luxation => row("luxated", None, Present, Reach::Tooth),
            Self::Avulsion => row("avulsed", None, Present, Reach::Tooth),
            Self::JawLuxated => row(
                "jaw luxated",
                None,
                Code(&["left", "right", "both"]),
                Reach::Mouth,
            ),
        }
    }

    /// The name in JSON and in the journal.
    pub fn key(self) -> String {
        match serde_json::to_value(self) {
            Ok(serde_json::Value::String(key)) => key,
            _ => format!("{self:?}"),
        }
    }
}

/// What was found, without where.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Value {
    Present,
    Mm(u8),
    Grade(u8),
    Code(String),
    Percent(u8),
}

/// Whose finding it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    Tooth(ToothNumber),
    Mouth,
}

/// A part of the mouth away from the teeth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Area {
    Tongue,
    UnderTongue,
    UpperLip,
    LowerLip,
    Cheek,
    HardPalate,
    SoftPalate,
    Gum,
    Tonsil,
    Throat,
}

impl Area {
    pub const ALL: [Self; 10] = [
        Self::Tongue,
        Self::UnderTongue,
        Self::UpperLip,
        Self::LowerLip,
        Self::Cheek,
        Self::HardPalate,
        Self::SoftPalate,
        Self::Gum,
        Self::Tonsil,
        Self::Throat,
    ];
}

/// Where on the subject.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    Whole,
    Site(Site),
    Entrance(Entrance),
    Area(Area, Option<MouthSide>),
    Root(Root),
}

/// One finding: the smallest thing that is recorded, confirmed or withdrawn.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Finding {
    pub subject: Subject,
    pub kind: Kind,
    pub place: Place,
    pub value: Value,
}

/// The value or place does not suit the kind.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{kind:?} cannot be {value:?} at {place:?}")]
pub struct Unsuited {
    pub kind: Kind,
    pub place: Place,
    pub value: Value,
}

impl Finding {
    /// Makes a finding; refuses a value or place that the kind cannot have, whatever the animal.
    pub fn new(subject: Subject, kind: Kind, place: Place, value: Value) -> Result<Self, Unsuited> {
        let spec = kind.spec();
        let value_fits = match (spec.form, &value) {
            (Form::Present, Value::Present) | (Form::Size(_), Value::Present) => true,
            (Form::Mm(max) | Form::Size(max), Value::Mm(mm)) => *mm <= max,
            (Form::Grade(min, max), Value::Grade(grade)) => (min..=max).contains(grade),
            (Form::Code(codes), Value::Code(code)) => codes.contains(&code.as_str()),
            (Form::Percent, Value::Percent(percent)) => *percent <= 100,
            _ => false,
        };
        let place_fits = matches!(
            (spec.reach, subject, place),
            (Reach::Mouth, Subject::Mouth, Place::Whole)
                | (
                    Reach::AreaOrTooth,
                    Subject::Mouth,
                    Place::Area(..) | Place::Whole
                )
                | (
                    Reach::AreaOrTooth,
                    Subject::Tooth(_),
                    Place::Whole | Place::Site(_)
                )
                | (
                    Reach::Site | Reach::SiteOrTooth,
                    Subject::Tooth(_),
                    Place::Site(_)
                )
                | (
                    Reach::SiteOrTooth | Reach::Tooth | Reach::Entrance | Reach::RootOrTooth,
                    Subject::Tooth(_),
                    Place::Whole
                )
                | (Reach::RootOrTooth, Subject::Tooth(_), Place::Root(_))
                | (Reach::Entrance, Subject::Tooth(_), Place::Entrance(_))
        );
        if value_fits && place_fits {
            Ok(Self {
                subject,
                kind,
                place,
                value,
            })
        } else {
            Err(Unsuited { kind, place, value })
        }
    }
}
