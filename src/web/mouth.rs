//! Where each tooth lies on the page's drawing, and the outline of its crown and roots. Data only: the page's
//! script draws it. The picture is our own: the open mouth seen from the front, upper row above, the animal's
//! right on the left; crowns as discs, roots as petals pointing outwards, readings as rays.
//!
//! Proportions are from memory and flattened so that small teeth stay visible: not for measuring.
//! Invariant: every tooth of the species has a place, and no two crowns of one row overlap.

use serde::Serialize;
use std::fmt::Write as _;

use crate::terms::dentition::{self, Stage};
use crate::terms::{Jaw, MouthSide, Species, ToothNumber};

/// Size of the drawing, in its own units.
pub const WIDTH: f64 = 1000.0;
pub const HEIGHT: f64 = 1380.0;

/// One tooth on the drawing. In its own frame x runs along the row towards the back of the mouth, and y
/// towards the tongue (so the roots and the cheek lie at negative y).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToothShape {
    pub tooth: u16,
    pub name: String,
    pub is_deciduous: bool,
    pub is_upper: bool,
    pub root_count: u8,
    pub x: f64,
    pub y: f64,
    /// Turns the tooth's frame into the drawing's, in degrees.
    pub turn_degrees: f64,
    /// 1 where the back of the mouth lies at positive x after the turn, else -1.
    pub back: i8,
    /// Half the crown's length along the row, and half its thickness.
    pub half_length: f64,
    pub half_thickness: f64,
    pub crown: String,
    pub roots: Vec<String>,
    /// Where its number stands, in the drawing's frame.
    pub label_x: f64,
    pub label_y: f64,
}

/// All teeth of a species: the permanent rows, and within them the deciduous ones.
pub fn mouth(species: Species) -> Vec<ToothShape> {
    [Stage::Permanent, Stage::Deciduous]
        .into_iter()
        .flat_map(|stage| {
            [1_u8, 2, 3, 4].into_iter().flat_map(move |quadrant| {
                let quadrant = if stage == Stage::Deciduous {
                    quadrant + 4
                } else {
                    quadrant
                };
                row(species, stage, quadrant)
            })
        })
        .collect()
}

/// Half a row: the teeth of one quadrant from the midline backwards.
fn row(species: Species, stage: Stage, quadrant: u8) -> Vec<ToothShape> {
    let teeth: Vec<ToothNumber> = dentition::teeth(species, stage)
        .into_iter()
        .filter(|tooth| tooth.quadrant() == quadrant)
        .collect();
    let Some(first) = teeth.first().copied() else {
        return Vec::new();
    };
    let curve = Curve::of(species, stage, first.jaw());
    let lengths: Vec<f64> = teeth.iter().map(|tooth| length(species, *tooth)).collect();
    let unit = curve.length() / lengths.iter().sum::<f64>();
    let mut along = 0.0;
    teeth
        .iter()
        .zip(&lengths)
        .map(|(tooth, length)| {
            let middle = along + length * unit / 2.0;
            along += length * unit;
            shape(species, *tooth, &curve, middle, length * unit)
        })
        .collect()
}

fn shape(species: Species, tooth: ToothNumber, curve: &Curve, along: f64, room: f64) -> ToothShape {
    let (mut x, mut y, mut nx, mut ny) = curve.at(along);
    // The curve is that of the upper right; the others are its mirror images.
    if tooth.mouth_side() == MouthSide::Left {
        x = WIDTH - x;
        nx = -nx;
    }
    if tooth.jaw() == Jaw::Lower {
        y = HEIGHT - y;
        ny = -ny;
    }
    let scale = if tooth.is_deciduous() { 0.72 } else { 1.0 };
    // A twelfth of the room stays free: neighbours are told apart from two metres.
    let half_length = room * 11.0 / 24.0;
    let half_thickness = match tooth.position() {
        1..=3 => 24.0,
        4 => 33.0,
        5..=7 => 25.0,
        _ => 31.0,
    } * scale;
    let root_count = dentition::roots(species, tooth).map_or(1, |roots| roots.count);
    let root_length = match tooth.position() {
        4 => 74.0,
        1..=3 => 54.0,
        _ => 56.0,
    } * scale;
    // Which way the back of the mouth lies, once the outward side points up.
    let back = match (tooth.mouth_side(), tooth.jaw()) {
        (MouthSide::Right, Jaw::Upper) | (MouthSide::Left, Jaw::Lower) => -1,
        _ => 1,
    };
    // Outside lie the roots of the permanent row, so a deciduous tooth's number stands inside.
    let is_first = tooth.position() == 1 && !tooth.is_deciduous();
    let label_out = if tooth.is_deciduous() {
        -(half_thickness + 34.0)
    } else {
        // The first incisors stand too close for numbers side by side.
        let step_out = if is_first { 34.0 } else { 0.0 };
        half_thickness + root_length + 30.0 + step_out
    };
    let step_aside = match (is_first, tooth.mouth_side()) {
        (false, _) => 0.0,
        (true, MouthSide::Right) => -10.0,
        (true, MouthSide::Left) => 10.0,
    };
    ToothShape {
        tooth: tooth.number(),
        name: dentition::name(tooth),
        is_deciduous: tooth.is_deciduous(),
        is_upper: tooth.jaw() == Jaw::Upper,
        root_count,
        x: round(x),
        y: round(y),
        turn_degrees: round(nx.atan2(-ny).to_degrees()),
        back,
        half_length: round(half_length),
        half_thickness: round(half_thickness),
        crown: crown(tooth.position(), half_length, half_thickness),
        roots: roots(root_count, half_length, half_thickness, root_length),
        label_x: round(x + nx * label_out + step_aside),
        label_y: round(y + ny * label_out),
    }
}

/// Share of the row that a tooth takes.
fn length(species: Species, tooth: ToothNumber) -> f64 {
    let at = usize::from(tooth.position());
    match (species, tooth.is_deciduous(), tooth.jaw()) {
        (Species::Dog, false, Jaw::Upper) => {
            [0., 7.5, 7.5, 8., 10., 7.5, 8.5, 9.5, 13., 11.5, 9.][at]
        }
        (Species::Dog, false, Jaw::Lower) => {
            [0., 7.5, 7.5, 8., 10., 7., 8., 9., 10., 13., 9.5, 7.5][at]
        }
        (Species::Cat, false, Jaw::Upper) => [0., 7., 7., 7.5, 11., 0., 8., 11., 14., 7.5][at],
        (Species::Cat, false, Jaw::Lower) => [0., 7., 7., 7.5, 11., 0., 0., 11., 12., 14.][at],
        (_, true, _) => [0., 8., 8., 8.5, 10., 0., 10., 12., 12.][at],
    }
}

fn crown(position: u8, a: f64, b: f64) -> String {
    match position {
        // Incisors and canines: rounded, the canine nearly a circle.
        1..=4 => format!(
            "M{:.1} 0C{:.1} {:.1} {:.1} {:.1} 0 {:.1}S{:.1} {:.1} {:.1} 0S{:.1} {:.1} 0 {:.1}S{:.1} {:.1} {:.1} 0Z",
            -a,
            -a,
            -b * 0.8,
            -a * 0.8,
            -b,
            -b,
            a,
            -b * 0.8,
            a,
            a * 0.8,
            b,
            b,
            -a,
            b * 0.8,
            -a
        ),
        // Premolars: a leaf, pointed to the front and the back.
        5..=7 => format!(
            "M{:.1} 0Q{:.1} {:.1} 0 {:.1}T{:.1} 0Q{:.1} {:.1} 0 {:.1}T{:.1} 0Z",
            -a,
            -a * 0.8,
            -b,
            -b,
            a,
            a * 0.8,
            b,
            b,
            -a
        ),
        // Tearing tooth and molars: a block with a waist.
        _ => format!(
            "M{:.1} {:.1}Q{:.1} {:.1} {:.1} {:.1}Q0 {:.1} {:.1} {:.1}Q{:.1} {:.1} {:.1} {:.1}L{:.1} {:.1}\
             Q{:.1} {:.1} {:.1} {:.1}Q0 {:.1} {:.1} {:.1}Q{:.1} {:.1} {:.1} {:.1}Z",
            -a,
            -b * 0.5,
            -a,
            -b,
            -a * 0.55,
            -b,
            -b * 0.7,
            a * 0.55,
            -b,
            a,
            -b,
            a,
            -b * 0.5,
            a,
            b * 0.5,
            a,
            b,
            a * 0.55,
            b,
            b * 0.7,
            -a * 0.55,
            b,
            -a,
            b,
            -a,
            b * 0.5
        ),
    }
}

/// Petals from the crown outwards; the third of three on the tongue side.
fn roots(count: u8, a: f64, b: f64, length: f64) -> Vec<String> {
    let petal = |x: f64, half: f64, from: f64, to: f64| {
        let mut path = String::new();
        // Writing to a string cannot fail.
        let _ = write!(
            path,
            "M{:.1} {from:.1}C{:.1} {:.1} {:.1} {to:.1} {x:.1} {to:.1}S{:.1} {:.1} {:.1} {from:.1}Z",
            x - half,
            x - half,
            (from + to) / 2.0,
            x - half * 0.5,
            x + half,
            (from + to) / 2.0,
            x + half,
        );
        path
    };
    let out = -(b + length);
    let from = -b * 0.5;
    match count {
        1 => vec![petal(0.0, a * 0.72, from, out)],
        2 => vec![
            petal(-a * 0.5, a * 0.42, from, out),
            petal(a * 0.5, a * 0.42, from, out),
        ],
        _ => vec![
            petal(-a * 0.5, a * 0.42, from, out),
            petal(a * 0.5, a * 0.42, from, out),
            petal(0.0, a * 0.4, b * 0.5, b + length * 0.55),
        ],
    }
}

/// The line on which the crowns of half a row stand: upper right, from the midline to the back.
struct Curve {
    points: Vec<(f64, f64)>,
}

const STEPS: usize = 400;

impl Curve {
    fn of(species: Species, stage: Stage, jaw: Jaw) -> Self {
        // Four points of a cubic curve. The dog's mouth is long and narrow in front, the cat's short and round;
        // the lower row lies a little within the upper one.
        let mut points = match (species, jaw) {
            (Species::Dog, Jaw::Upper) => [(500., 165.), (255., 165.), (205., 330.), (150., 640.)],
            (Species::Dog, Jaw::Lower) => [(500., 165.), (265., 165.), (220., 330.), (165., 650.)],
            (Species::Cat, Jaw::Upper) => [(500., 185.), (235., 185.), (165., 330.), (150., 600.)],
            (Species::Cat, Jaw::Lower) => [(500., 185.), (250., 185.), (185., 330.), (165., 600.)],
        };
        if stage == Stage::Deciduous {
            // Inside the permanent row.
            for point in &mut points {
                point.0 = 500.0 + (point.0 - 500.0) * 0.66;
                point.1 = 620.0 + (point.1 - 620.0) * 0.66;
            }
        }
        let points = (0..=STEPS)
            .map(|step| cubic(&points, step as f64 / STEPS as f64))
            .collect();
        Self { points }
    }

    fn length(&self) -> f64 {
        self.points
            .windows(2)
            .map(|pair| distance(pair[0], pair[1]))
            .sum()
    }

    /// Point and outward normal at so far along the line.
    fn at(&self, along: f64) -> (f64, f64, f64, f64) {
        let mut gone = 0.0;
        for pair in self.points.windows(2) {
            let step = distance(pair[0], pair[1]);
            if gone + step >= along && step > 0.0 {
                let share = (along - gone) / step;
                let (dx, dy) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
                let (x, y) = (pair[0].0 + dx * share, pair[0].1 + dy * share);
                return (x, y, -dy / step, dx / step);
            }
            gone += step;
        }
        (0.0, 0.0, 0.0, -1.0)
    }
}

fn cubic(p: &[(f64, f64); 4], t: f64) -> (f64, f64) {
    let u = 1.0 - t;
    let weights = [u * u * u, 3.0 * u * u * t, 3.0 * u * t * t, t * t * t];
    p.iter()
        .zip(weights)
        .fold((0.0, 0.0), |(x, y), (point, weight)| {
            (x + point.0 * weight, y + point.1 * weight)
        })
}

fn distance(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

fn round(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
