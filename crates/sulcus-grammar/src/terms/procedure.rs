//! What is decided and what is done. Planned and done are different things: a [`Decision`] never becomes
//! a [`Procedure`] by itself.

use serde::{Deserialize, Serialize};

use super::finding::Area;
use super::mouth::{FlapKind, Implant};
use super::surgery::{
    Agreed, Complication, HomeCare, HomeUnit, Remedy, SampleKind, Suture, SutureSize, Way,
};
use super::tooth::{MouthSide, ToothNumber};
use super::watch::Role;

/// The vet's decision for a tooth.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Decision {
    Extract,
    /// Look again after so many months, where said (1 to 24).
    Monitor {
        months: Option<u8>,
    },
    Leave,
    Treat(Treatment),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Treatment {
    /// Not said which.
    Unspecified,
    RootPlaningClosed,
    RootPlaningOpen,
    RootCanal,
    VitalPulpTherapy,
    Restoration,
    CrownAmputation,
    GumSurgery,
    Refer,
    FistulaRepair,
    /// With two layers of flap.
    FistulaRepairDouble,
    Alveoloplasty,
    BoneGraft,
    Membrane,
    Sealant,
    Odontoplasty,
    InterceptiveExtraction,
    Operculectomy,
    CrownReduction,
}

impl Treatment {
    /// Whether gum or bone is cut for it, so that a wound stays.
    pub fn is_of_the_gum(self) -> bool {
        matches!(
            self,
            Self::RootPlaningOpen
                | Self::CrownAmputation
                | Self::GumSurgery
                | Self::FistulaRepair
                | Self::FistulaRepairDouble
                | Self::Alveoloplasty
                | Self::BoneGraft
                | Self::Membrane
                | Self::InterceptiveExtraction
                | Self::Operculectomy
        )
    }

    pub const ALL: [Self; 19] = [
        Self::Unspecified,
        Self::RootPlaningClosed,
        Self::RootPlaningOpen,
        Self::RootCanal,
        Self::VitalPulpTherapy,
        Self::Restoration,
        Self::CrownAmputation,
        Self::GumSurgery,
        Self::Refer,
        Self::FistulaRepair,
        Self::FistulaRepairDouble,
        Self::Alveoloplasty,
        Self::BoneGraft,
        Self::Membrane,
        Self::Sealant,
        Self::Odontoplasty,
        Self::InterceptiveExtraction,
        Self::Operculectomy,
        Self::CrownReduction,
    ];
}

/// Why the vet decided so, as said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    Pocket,
    Furcation,
    Mobility,
    Fracture,
    Resorption,
    Crowding,
    PersistentDeciduous,
    Stomatitis,
    Caries,
    RetainedRoot,
    OwnerDeclined,
    Anaesthetic,
    OtherTreatment,
}

impl Reason {
    pub const ALL: [Self; 13] = [
        Self::Pocket,
        Self::Furcation,
        Self::Mobility,
        Self::Fracture,
        Self::Resorption,
        Self::Crowding,
        Self::PersistentDeciduous,
        Self::Stomatitis,
        Self::Caries,
        Self::RetainedRoot,
        Self::OwnerDeclined,
        Self::Anaesthetic,
        Self::OtherTreatment,
    ];
}

/// How a tooth was taken out: closed; closed after sectioning; surgical with flap and bone removal [AVDC-SURG].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    Closed,
    Sectioned,
    Surgical,
    /// Not said how: stays so until somebody says it.
    Unspecified,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Block {
    Infraorbital,
    Maxillary,
    InferiorAlveolar,
    MiddleMental,
    Other,
}

impl Block {
    pub const ALL: [Self; 5] = [
        Self::Infraorbital,
        Self::Maxillary,
        Self::InferiorAlveolar,
        Self::MiddleMental,
        Self::Other,
    ];
}

/// Local anaesthetics for which a ceiling is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Drug {
    Lidocaine,
    Bupivacaine,
    Mepivacaine,
}

/// What a local anaesthetic was when it was given. Later settings or another weight change nothing of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct AsGiven {
    /// Of the drug, in micrograms: volume times strength.
    pub dose_ug: u64,
    /// False: the strength is that of the clinic's bottle as set on that day.
    pub is_strength_said: bool,
    /// The weight reckoned with, in grams; none where there was none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weight_g: Option<u32>,
    /// The ceiling of the drug alone at that weight, in micrograms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ceiling_ug: Option<u64>,
    /// What it made of the ceiling together with all given before it, in thousandths, rounded up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share_thousandths: Option<u32>,
}

/// What an image file shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Image {
    Film,
    Photograph,
}

impl Image {
    pub fn word(self) -> &'static str {
        match self {
            Self::Film => "film",
            Self::Photograph => "photograph",
        }
    }
}

/// Something done during the procedure. Volumes in hundredths of a millilitre, so that sums are exact.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Procedure {
    /// A film is wanted: asked for, not yet taken.
    FilmWanted {
        teeth: Vec<ToothNumber>,
    },
    /// A film was taken; no teeth named means the whole mouth.
    FilmTaken {
        teeth: Vec<ToothNumber>,
        /// As the X-ray machine or the person counts.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        number: Option<u16>,
    },
    /// A file with a film or a photograph: kept elsewhere, known here by its name and what is in it.
    ImageLinked {
        image: Image,
        /// Of the film.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        number: Option<u16>,
        teeth: Vec<ToothNumber>,
        /// As given: path or name in the clinic's store.
        file: String,
        /// Of its bytes when it was linked, 64 hexadecimal digits.
        sha256: String,
    },
    /// The vet has read the films.
    FilmsRead,
    /// Somebody said that all roots are out; whether a film after the extraction shows it is another entry.
    RootsComplete {
        tooth: ToothNumber,
    },
    Scaled,
    Polished,
    Extracted {
        tooth: ToothNumber,
        method: Method,
    },
    CrownRemoved {
        tooth: ToothNumber,
    },
    RootLeft {
        tooth: ToothNumber,
        reason: Option<Reason>,
    },
    Flap {
        tooth: ToothNumber,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        kind: Option<FlapKind>,
    },
    /// Batch of the graft or membrane that stays in the wound.
    ImplantBatch {
        tooth: ToothNumber,
        what: Implant,
        batch: String,
    },
    /// The work at this tooth is for a second visit, or for today after all; the newest counts.
    Staged {
        tooth: ToothNumber,
        is_later: bool,
    },
    /// When the second visit is to be.
    SecondVisit {
        days: u16,
    },
    Sutured {
        tooth: ToothNumber,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        material: Option<Suture>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        size: Option<SutureSize>,
    },
    GumSurgery {
        tooth: ToothNumber,
    },
    Treated {
        tooth: ToothNumber,
        treatment: Treatment,
    },
    NerveBlock {
        block: Block,
        side: MouthSide,
        drug: Drug,
        /// Of the solution, in hundredths of a millilitre.
        volume_ml_hundredths: u16,
        /// Of the solution: hundredths of a per cent (0.5 % = 50). None in old entries, which did not keep it.
        strength_percent_hundredths: Option<u16>,
        /// Fixed when it was given. None in old entries.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        as_given: Option<AsGiven>,
    },
    /// A medicine given, as said; neither checked nor computed.
    Medication {
        words: String,
    },
    AnaesthesiaStarted,
    AnaesthesiaEnded,
    ProcedureStarted,
    ProcedureEnded,
    ThroatPackIn,
    ThroatPackOut,
    GagIn,
    GagOut,
    SwabsCounted {
        count: u8,
    },
    /// Body temperature in tenths of a degree Celsius.
    Temperature {
        celsius_tenths: u16,
    },
    /// Something went wrong.
    Complication {
        what: Complication,
        /// The tooth at hand, where there was one.
        tooth: Option<ToothNumber>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        size_mm: Option<u8>,
    },
    /// What was done about the complication of that entry.
    ComplicationTreated {
        of: u64,
        how: Remedy,
    },
    /// The owner was told of the complications of these entries.
    OwnerTold {
        of: Vec<u64>,
        way: Option<Way>,
        /// Who told them, where said.
        by: Option<Role>,
    },
    /// The owner was asked for more than was signed, and agreed or did not.
    OwnerAsked {
        about: Agreed,
        tooth: Option<ToothNumber>,
        is_agreed: bool,
        way: Option<Way>,
        /// Who asked, where said.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<Role>,
    },
    /// A sample for the laboratory, in a pot of its own.
    SampleTaken {
        pot: u8,
        tooth: Option<ToothNumber>,
        area: Option<(Area, Option<MouthSide>)>,
        kind: Option<SampleKind>,
    },
    SamplesSent {
        pots: Vec<u8>,
        /// Days after which the laboratory gives the result, where said.
        due_days: Option<u16>,
    },
    /// The vet has read the laboratory's result.
    ResultRead {
        pot: u8,
        text: String,
    },
    /// A medicine that goes home with the animal.
    HomeMedicine {
        drug: String,
        /// Of the unit, in thousandths.
        amount_thousandths: u32,
        unit: HomeUnit,
        times_a_day: u8,
        days: u16,
    },
    HomeCare {
        what: HomeCare,
        days: u16,
    },
    /// The tray of instruments of this patient.
    TrayUsed {
        number: u16,
        sterilised: Option<jiff::civil::Date>,
    },
    /// A point of the check list, by its key in the plan's check list.
    Checked {
        point: String,
    },
}

impl Procedure {
    /// The tooth it was done to, where it is one.
    pub fn tooth(&self) -> Option<ToothNumber> {
        match self {
            Self::RootsComplete { tooth }
            | Self::Extracted { tooth, .. }
            | Self::CrownRemoved { tooth }
            | Self::RootLeft { tooth, .. }
            | Self::Flap { tooth, .. }
            | Self::ImplantBatch { tooth, .. }
            | Self::Staged { tooth, .. }
            | Self::Sutured { tooth, .. }
            | Self::GumSurgery { tooth }
            | Self::Treated { tooth, .. } => Some(*tooth),
            Self::Complication { tooth, .. }
            | Self::OwnerAsked { tooth, .. }
            | Self::SampleTaken { tooth, .. } => *tooth,
            Self::FilmWanted { teeth }
            | Self::FilmTaken { teeth, .. }
            | Self::ImageLinked { teeth, .. }
                if teeth.len() == 1 =>
            {
                teeth.first().copied()
            }
            _ => None,
        }
    }
}
