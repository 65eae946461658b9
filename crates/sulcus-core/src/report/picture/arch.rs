//! Where the teeth stand: the curve of each jaw and each tooth's place, size and direction on it.
//! A plan of the mouth made for this program, to be read at a glance; sizes are those of a drawing, not measures.
//!
//! Invariant: every tooth of the species and stage has one place; places of one jaw do not overlap.

use crate::terms::{Jaw, MouthSide, Species, Stage, ToothNumber, dentition};

/// What a tooth is for, which gives its outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    Incisor,
    Canine,
    Premolar,
    /// The big cutting tooth of each jaw: upper fourth premolar, lower first molar.
    Carnassial,
    Molar,
}

pub fn class(tooth: ToothNumber) -> Class {
    let carnassial = match (tooth.is_deciduous(), tooth.jaw()) {
        (false, Jaw::Upper) => 8,
        (false, Jaw::Lower) => 9,
        // The deciduous cutting teeth stand one place further forward (from memory).
        (true, Jaw::Upper) => 7,
        (true, Jaw::Lower) => 8,
    };
    match tooth.position() {
        1..=3 => Class::Incisor,
        4 => Class::Canine,
        position if position == carnassial => Class::Carnassial,
        5..=8 => Class::Premolar,
        _ => Class::Molar,
    }
}

/// One tooth's place in the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    pub tooth: ToothNumber,
    /// Middle of the tooth.
    pub x: f64,
    pub y: f64,
    /// Unit vector along the row, away from the midline.
    pub along: (f64, f64),
    /// Unit vector to the cheek.
    pub out: (f64, f64),
    /// Along the row.
    pub length: f64,
    /// From tongue to cheek.
    pub thickness: f64,
}

impl Place {
    /// A point so far along the row and so far towards the cheek from the middle.
    pub fn at(&self, along: f64, out: f64) -> (f64, f64) {
        (
            self.x + self.along.0 * along + self.out.0 * out,
            self.y + self.along.1 * along + self.out.1 * out,
        )
    }
}

/// Length along the row and thickness, in units of the drawing. The least leaves room for three bars and a number.
pub fn size(species: Species, tooth: ToothNumber) -> (f64, f64) {
    let position = tooth.position();
    let (length, thickness) = match (species, tooth.jaw(), position) {
        (_, _, 1..=2) => (36.0, 28.0),
        (_, _, 3) => (37.0, 30.0),
        (_, _, 4) => (44.0, 38.0),
        (Species::Dog, _, 5) => (35.0, 34.0),
        (Species::Dog, _, 6) => (40.0, 34.0),
        (Species::Dog, _, 7) => (44.0, 34.0),
        (Species::Dog, Jaw::Upper, 8) => (60.0, 40.0),
        (Species::Dog, Jaw::Lower, 8) => (48.0, 35.0),
        (Species::Dog, Jaw::Upper, 9) => (46.0, 50.0),
        (Species::Dog, Jaw::Lower, 9) => (66.0, 39.0),
        (Species::Dog, Jaw::Upper, _) => (38.0, 40.0),
        (Species::Dog, Jaw::Lower, 10) => (42.0, 35.0),
        (Species::Dog, Jaw::Lower, _) => (36.0, 33.0),
        (Species::Cat, _, 5 | 6) => (36.0, 32.0),
        (Species::Cat, _, 7) => (46.0, 34.0),
        (Species::Cat, Jaw::Upper, 8) => (58.0, 38.0),
        (Species::Cat, Jaw::Lower, 8) => (48.0, 34.0),
        (Species::Cat, Jaw::Upper, _) => (36.0, 34.0),
        (Species::Cat, Jaw::Lower, _) => (56.0, 36.0),
    };
    if tooth.is_deciduous() {
        (f64::max(length * 0.9, 30.0), thickness * 0.9)
    } else {
        (length, thickness)
    }
}

/// Half of a jaw from the midline backwards; x away from the midline, y backwards. Only the shape counts.
fn half_curve(species: Species, jaw: Jaw) -> &'static [(f64, f64)] {
    match (species, jaw) {
        (Species::Dog, Jaw::Upper) => &[
            (0.0, 0.0),
            (66.0, 8.0),
            (114.0, 46.0),
            (128.0, 100.0),
            (130.0, 150.0),
            (148.0, 225.0),
            (166.0, 300.0),
            (164.0, 352.0),
        ],
        (Species::Dog, Jaw::Lower) => &[
            (0.0, 0.0),
            (62.0, 8.0),
            (106.0, 46.0),
            (118.0, 100.0),
            (120.0, 150.0),
            (138.0, 235.0),
            (156.0, 325.0),
            (164.0, 385.0),
        ],
        (Species::Cat, Jaw::Upper) => &[
            (0.0, 0.0),
            (62.0, 6.0),
            (110.0, 36.0),
            (132.0, 92.0),
            (154.0, 152.0),
            (162.0, 205.0),
        ],
        (Species::Cat, Jaw::Lower) => &[
            (0.0, 0.0),
            (60.0, 6.0),
            (106.0, 36.0),
            (124.0, 92.0),
            (142.0, 152.0),
            (152.0, 205.0),
        ],
    }
}

/// Between the teeth, so that bars of neighbours stay apart.
const GAP: f64 = 11.0;
/// Before and behind the canine the row bends, and has a space of its own.
const GAP_AT_CANINE: f64 = 18.0;

/// A smooth line through the points, as many short straight pieces (Catmull-Rom).
fn smooth(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    const STEPS: u32 = 24;
    let mut line = Vec::new();
    for index in 0..points.len().saturating_sub(1) {
        // Before the midline the curve is its own mirror image.
        let p0 = match index {
            0 => points.get(1).map_or((0.0, 0.0), |&(x, y)| (-x, y)),
            _ => points[index - 1],
        };
        let (p1, p2) = (points[index], points[index + 1]);
        let p3 = points.get(index + 2).copied().unwrap_or(p2);
        for step in 0..STEPS {
            let t = f64::from(step) / f64::from(STEPS);
            let one = |a: f64, b: f64, c: f64, d: f64| {
                0.5 * (2.0 * b
                    + (c - a) * t
                    + (2.0 * a - 5.0 * b + 4.0 * c - d) * t * t
                    + (3.0 * b - a - 3.0 * c + d) * t * t * t)
            };
            line.push((one(p0.0, p1.0, p2.0, p3.0), one(p0.1, p1.1, p2.1, p3.1)));
        }
    }
    line.extend(points.last());
    line
}

fn length(line: &[(f64, f64)]) -> f64 {
    line.windows(2)
        .map(|pair| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1))
        .sum()
}

/// The point so far along the line, and the direction there.
fn along(line: &[(f64, f64)], distance: f64) -> ((f64, f64), (f64, f64)) {
    let mut left = distance;
    let mut last = ((0.0, 0.0), (1.0, 0.0));
    for pair in line.windows(2) {
        let (dx, dy) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
        let piece = dx.hypot(dy);
        if piece == 0.0 {
            continue;
        }
        let direction = (dx / piece, dy / piece);
        if left <= piece {
            let share = left / piece;
            return ((pair[0].0 + dx * share, pair[0].1 + dy * share), direction);
        }
        left -= piece;
        last = (pair[1], direction);
    }
    last
}

/// The teeth of one jaw; the midline is x = 0, the front is y = 0, backwards is down. The animal's right is at
/// the left hand, as when one looks into its mouth.
pub fn jaw(species: Species, stage: Stage, jaw: Jaw) -> Vec<Place> {
    let mut places = Vec::new();
    for side in [MouthSide::Right, MouthSide::Left] {
        let row: Vec<ToothNumber> = dentition::teeth(species, stage)
            .into_iter()
            .filter(|tooth| tooth.jaw() == jaw && tooth.mouth_side() == side)
            .collect();
        let gap = |tooth: ToothNumber| match tooth.position() {
            3 | 4 => GAP_AT_CANINE,
            _ => GAP,
        };
        let needed: f64 = GAP / 2.0
            + row
                .iter()
                .map(|&tooth| size(species, tooth).0 + gap(tooth))
                .sum::<f64>();
        let shape = smooth(half_curve(species, jaw));
        let scale = needed / length(&shape);
        let line: Vec<(f64, f64)> = shape.iter().map(|(x, y)| (x * scale, y * scale)).collect();
        let mirror = if side == MouthSide::Right { -1.0 } else { 1.0 };
        let mut distance = GAP / 2.0;
        for tooth in row {
            let (length, thickness) = size(species, tooth);
            let ((x, y), (dx, dy)) = along(&line, distance + length / 2.0);
            distance += length + gap(tooth);
            places.push(Place {
                tooth,
                x: x * mirror,
                y,
                along: (dx * mirror, dy),
                out: (dy * mirror, -dx),
                length,
                thickness,
            });
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_teeth_have_a_place_and_none_overlap() {
        for species in [Species::Dog, Species::Cat] {
            for stage in [Stage::Permanent, Stage::Deciduous] {
                let mut count = 0;
                for of in [Jaw::Upper, Jaw::Lower] {
                    let places = jaw(species, stage, of);
                    count += places.len();
                    for (index, a) in places.iter().enumerate() {
                        for b in &places[index + 1..] {
                            let apart = (a.x - b.x).hypot(a.y - b.y);
                            let least = f64::min(a.length, a.thickness) / 2.0
                                + f64::min(b.length, b.thickness) / 2.0;
                            assert!(apart > least, "{} and {} overlap", a.tooth, b.tooth);
                        }
                    }
                }
                assert_eq!(count, dentition::teeth(species, stage).len());
            }
        }
    }
}
