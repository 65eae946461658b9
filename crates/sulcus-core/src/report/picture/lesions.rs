//! Lumps and sores in the picture of the mouth: a letter in a square where each is, and in the legend what it is.
//! Where a part of the mouth lies in the drawing is our own plan of the mouth; nothing in it is a measure.

use super::arch::Place as Spot;
use super::canvas::{Anchor, Canvas, Text};
use crate::record::{Record, Standing, lesion};
use crate::terms::{Area, Jaw, Kind, MouthSide, Subject};

/// Half a side of the square.
const HALF: f64 = 11.0;

/// "A" for the first.
pub fn letter(at: usize) -> String {
    let letters = ('A'..='Z').count();
    let letter = char::from(b'A' + (at % letters) as u8);
    match at / letters {
        0 => letter.to_string(),
        round => format!("{letter}{round}"),
    }
}

/// Shares of the jaw: across from the midline (1 at the outermost tooth), back from the front (1 at the last tooth).
/// None for what is drawn in no jaw: a gum whose jaw nobody said, a cheek whose side nobody said.
fn place(area: Area, side: Option<MouthSide>, third: Option<&str>) -> Option<(Jaw, f64, f64)> {
    let across = match side {
        Some(MouthSide::Left) => 1.0,
        Some(MouthSide::Right) => -1.0,
        None => 0.0,
    };
    let (front, middle, back) = (0.28, 0.62, 0.88);
    let along = match third {
        Some("front") => front,
        Some("back") => back,
        _ => middle,
    };
    Some(match area {
        Area::Tongue => (Jaw::Lower, across * 0.36, along),
        Area::UnderTongue => (Jaw::Lower, across * 0.2, 0.2),
        Area::HardPalate => (Jaw::Upper, across * 0.36, along),
        Area::SoftPalate => (Jaw::Upper, across * 0.3, 1.1),
        Area::Tonsil => (Jaw::Lower, across * 0.5, 1.1),
        Area::Throat => (Jaw::Lower, across * 0.2, 1.12),
        Area::UpperLip => (Jaw::Upper, across * 0.95, 0.02),
        Area::LowerLip => (Jaw::Lower, across * 0.95, 0.02),
        Area::Cheek => (Jaw::Upper, (across != 0.0).then_some(across * 1.05)?, 1.1),
        Area::Gum => return None,
    })
}

pub(super) fn draw(canvas: &mut Canvas, record: &Record, jaw: Jaw, spots: &[Spot]) {
    let wide = spots.iter().map(|spot| spot.x.abs()).fold(0.0, f64::max);
    let (front, back) = spots
        .iter()
        .map(|spot| spot.y)
        .fold((f64::MAX, f64::MIN), |(front, back), y| {
            (front.min(y), back.max(y))
        });
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for (at, lesion) in lesion::lesions(record).iter().enumerate() {
        let third = lesion.code(Kind::LesionPart);
        let drawn = match lesion.finding.subject {
            // On the tongue side: the cheek side has the tooth's own marks.
            Subject::Tooth(tooth) => spots
                .iter()
                .find(|spot| spot.tooth == tooth)
                .map(|spot| spot.at(0.0, -(spot.thickness / 2.0 + 44.0))),
            Subject::Mouth => lesion
                .part()
                .and_then(|(area, side)| place(area, side, third))
                .filter(|(of, ..)| *of == jaw)
                .map(|(_, across, along)| (across * wide, front + along * (back - front))),
        };
        let Some((x, mut y)) = drawn else { continue };
        // Two at one place stand one below the other.
        while taken
            .iter()
            .any(|(a, b)| (a - x).abs() < HALF * 2.0 && (b - y).abs() < HALF * 2.0)
        {
            y += HALF * 2.0 + 2.0;
        }
        taken.push((x, y));
        let (ink, paper) = (canvas.ink(), canvas.paper());
        canvas.open(&[("class", "sulcus-lesion")]);
        canvas.title(&words(lesion, false));
        canvas.rect(x - HALF, y - HALF, HALF * 2.0, HALF * 2.0, &paper, &ink);
        canvas.text((x, y), &letter(at), Text::new(15.0, Anchor::Middle).bold());
        canvas.close();
    }
}

/// "A mass, tongue, left: 12 x 8 mm, round, dark?"; for the owner without its look.
pub(super) fn legend(record: &Record, is_plain: bool) -> Vec<String> {
    lesion::lesions(record)
        .iter()
        .enumerate()
        .map(|(at, lesion)| format!("{} {}", letter(at), words(lesion, is_plain)))
        .collect()
}

fn words(lesion: &lesion::Lesion<'_>, is_plain: bool) -> String {
    let is_sure = lesion.charted.standing == Standing::Confirmed
        && lesion
            .described
            .iter()
            .all(|(_, charted)| charted.standing == Standing::Confirmed);
    let doubt = if is_sure { "" } else { "?" };
    let is_drawn = match lesion.finding.subject {
        Subject::Tooth(_) => true,
        Subject::Mouth => lesion
            .part()
            .is_some_and(|(area, side)| place(area, side, None).is_some()),
    };
    let undrawn = if is_drawn { "" } else { " (not drawn)" };
    if is_plain {
        let what = match lesion.finding.kind {
            Kind::Mass => "lump",
            Kind::Ulcer => "sore",
            Kind::Swelling => "swelling",
            _ => "cut",
        };
        return format!("{what}, {}{undrawn}{doubt}.", lesion.place());
    }
    let parts: Vec<String> = [lesion.size(), Some(lesion.look())]
        .into_iter()
        .flatten()
        .filter(|part| !part.is_empty())
        .collect();
    let told = if parts.is_empty() {
        String::new()
    } else {
        format!(": {}", parts.join(", "))
    };
    format!(
        "{}, {}{undrawn}{told}{doubt}.",
        lesion.finding.kind.spec().title,
        lesion.place()
    )
}
