//! Two visits of one patient in one picture: where depths grew, shrank or stayed.

use super::arch::Place as Spot;
use super::canvas::{Anchor, Canvas, Text};
use super::mouth::{Hand, Reach, across, direction, draw, outline, reading, stage};
use super::{Options, View};
use crate::record::Record;
use crate::terms::{Kind, Place, Procedure, Site, Subject, ToothNumber};

const MM: f64 = 5.0;
/// A change of one millimetre is within the error of repeated probing (common practice, no source).
const TOLD_FROM_MM: i16 = 2;

/// The later visit over the earlier: white bars were, black bars are; a figure tells a change of 2 mm or more.
pub fn compare_svg(earlier: &Record, later: &Record, options: &Options) -> String {
    let options = &Options {
        view: View::Before,
        ..options.clone()
    };
    let day = |record: &Record| {
        record
            .opened_at
            .to_zoned_datetime(jiff::tz::TimeZone::UTC)
            .date()
            .to_string()
    };
    let legend = [
        format!(
            "Wide white bars: {}. Narrow black bars: {}. Figure: change in mm where it is {TOLD_FROM_MM} or more, + deeper, - shallower.",
            day(earlier),
            day(later)
        ),
        "Tooth dashed: not read both times. Hatched: taken out or missing by the later visit."
            .into(),
    ];
    let title = format!(
        "Change from {} to {}: teeth of {}",
        day(earlier),
        day(later),
        later.patient.name
    );
    draw(
        later.patient.species,
        stage(later),
        options,
        &title,
        &legend,
        &Change { earlier, later },
    )
}

struct Change<'a> {
    earlier: &'a Record,
    later: &'a Record,
}

impl Hand for Change<'_> {
    fn reach(&self, spot: &Spot) -> Reach {
        Reach {
            bars: spot.thickness / 2.0 + deepest(spot.tooth, self.earlier, self.later) * MM + 24.0,
            words: 0.0,
        }
    }

    fn tooth(&self, canvas: &mut Canvas, spot: &Spot) {
        tooth(canvas, spot, self.earlier, self.later);
    }
}

/// The deepest reading of both visits.
fn deepest(tooth: ToothNumber, earlier: &Record, later: &Record) -> f64 {
    Site::ALL
        .into_iter()
        .flat_map(|site| [earlier, later].map(|record| reading(record, tooth, Kind::Depth, site)))
        .flatten()
        .map(|(mm, _)| f64::from(mm))
        .fold(0.0, f64::max)
}

fn is_gone(record: &Record, tooth: ToothNumber) -> bool {
    record
        .finding(Subject::Tooth(tooth), Kind::Absent, Place::Whole)
        .is_some()
        || record.procedures().any(|(procedure, _)| {
            matches!(procedure, Procedure::Extracted { tooth: of, .. } if *of == tooth)
        })
}

fn tooth(canvas: &mut Canvas, spot: &Spot, earlier: &Record, later: &Record) {
    let gone = is_gone(earlier, spot.tooth) || is_gone(later, spot.tooth);
    let (ink, soft, paper) = (canvas.ink(), canvas.soft(), canvas.paper());
    let mut read_twice = false;
    let mut worst: i16 = 0;
    canvas.open(&[
        ("class", "sulcus-tooth"),
        ("data-tooth", &spot.tooth.to_string()),
    ]);
    for site in Site::ALL {
        let (middle, way) = (across(site, spot.length), direction(site));
        let foot = spot.thickness / 2.0 + 2.0;
        let half = spot.length / 6.0 - 1.2;
        let mut bar = |mm: u8, half: f64, fill: &str| {
            let top = foot + f64::from(mm) * MM;
            let corners = [
                spot.at(middle - half, foot * way),
                spot.at(middle + half, foot * way),
                spot.at(middle + half, top * way),
                spot.at(middle - half, top * way),
            ];
            if mm > 0 {
                canvas.polygon(&corners, fill, &ink, 0.8, None);
            }
            top
        };
        let was = reading(earlier, spot.tooth, Kind::Depth, site);
        let is = reading(later, spot.tooth, Kind::Depth, site);
        let first = was.map_or(foot, |(mm, _)| bar(mm, half, &paper));
        let second = is.map_or(foot, |(mm, _)| bar(mm, half * 0.5, &ink));
        let (Some((was, _)), Some((is, _))) = (was, is) else {
            continue;
        };
        read_twice = true;
        let change = i16::from(is) - i16::from(was);
        if change.abs() > worst.abs() {
            worst = change;
        }
        if change.abs() >= TOLD_FROM_MM {
            let at = spot.at(middle, (first.max(second) + 9.0) * way);
            canvas.text(
                at,
                &format!("{change:+}"),
                Text::new(13.0, Anchor::Middle).bold(),
            );
        }
    }
    canvas.title(&format!("{}, largest change {worst:+} mm", spot.tooth));
    let d = outline(spot);
    match (gone, read_twice) {
        (true, _) => canvas.path(&d, &canvas.hatch(), &ink, 1.4, None),
        (false, true) => canvas.path(&d, &paper, &ink, 1.8, None),
        (false, false) => canvas.path(&d, &paper, &soft, 1.4, Some("3 4")),
    }
    if gone {
        canvas.rect(spot.x - 15.0, spot.y - 8.0, 30.0, 16.0, &paper, "none");
    }
    canvas.text(
        (spot.x, spot.y),
        &spot.tooth.to_string(),
        Text::new(15.0, Anchor::Middle).bold(),
    );
    canvas.close();
}
