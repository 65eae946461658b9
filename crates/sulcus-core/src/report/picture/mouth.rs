//! The mouth: both jaws, each tooth with its bars or figures, its marks and its decision.

use super::arch::{self, Class, Place as Spot};
use super::canvas::{Anchor, Canvas, Text};
use super::{Layout, Options, View, lesions, normal_depth_mm};
use crate::record::{Charted, Event, Record, Standing, wording};
use crate::terms::procedure::Treatment;
use crate::terms::{
    Decision, Finding, Jaw, Kind, Place, Procedure, Side, Site, Species, Stage, Subject,
    ToothNumber, Value, dentition,
};

/// Units of the drawing for one millimetre of depth.
const MM: f64 = 5.0;
/// A bar longer than this many mm is cut and says its figure anyway.
const LONGEST_MM: u8 = 14;
/// Sizes of letters.
const LEGEND: f64 = 17.0;
const NUMBER: f64 = 16.0;
const FIGURE: f64 = 14.0;
const MARK: f64 = 15.0;
const WORD: f64 = 19.0;
/// Behind the last tooth.
const BACK: f64 = 44.0;
/// Around everything.
const EDGE: f64 = 14.0;

/// How far a tooth's marks reach on the cheek side: bars from the tooth's middle, then words lying or on end.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Reach {
    pub bars: f64,
    pub words: f64,
}

/// Whether words beside the tooth lie: in front, where teeth stand side by side, they stand on end.
fn is_at_side(spot: &Spot) -> bool {
    spot.out.0.abs() > 0.72
}

/// Width of a text as drawn; a little more than the font's mean letter.
fn text_width(text: &str, size: f64) -> f64 {
    text.chars().count() as f64 * size * 0.56
}

/// Deciduous where only deciduous teeth are spoken of.
pub fn stage(record: &Record) -> Stage {
    let mut teeth = record
        .current()
        .filter_map(|charted| charted.event.tooth())
        .peekable();
    if teeth.peek().is_some() && teeth.all(ToothNumber::is_deciduous) {
        Stage::Deciduous
    } else {
        Stage::Permanent
    }
}

/// The mouth as the record has it. Teeth carry `data-tooth` and a class of their state.
pub fn mouth_svg(record: &Record, options: &Options) -> String {
    let species = record.patient.species;
    let title = format!(
        "{}: teeth of {}",
        match options.view {
            View::Before => "Before treatment",
            View::After => "At the end",
            View::Pockets => "Depths in mm",
            View::Plain => "What was done",
        },
        record.patient.name
    );
    draw(
        species,
        stage(record),
        options,
        &title,
        &legend(record, options),
        &Drawing { record, options },
    )
}

/// Who draws what belongs to each tooth and jaw.
pub(super) trait Hand {
    fn reach(&self, spot: &Spot) -> Reach;

    fn tooth(&self, canvas: &mut Canvas, spot: &Spot);

    /// Over the teeth, in the jaw's own frame.
    fn jaw(&self, _canvas: &mut Canvas, _jaw: Jaw, _spots: &[Spot]) {}
}

/// Draws both jaws and the legend, each tooth by the given hand.
pub(super) fn draw(
    species: Species,
    stage: Stage,
    options: &Options,
    title: &str,
    legend: &[String],
    hand: &impl Hand,
) -> String {
    let mut canvas = Canvas::new(options);
    let jaws = [Jaw::Upper, Jaw::Lower].map(|jaw| (jaw, arch::jaw(species, stage, jaw)));
    let (mut half_width, mut front) = (0.0_f64, 0.0_f64);
    for spot in jaws.iter().flat_map(|(_, spots)| spots) {
        let reach = hand.reach(spot);
        let words = if is_at_side(spot) {
            (reach.words, 0.0)
        } else {
            (0.0, reach.words)
        };
        half_width = half_width.max(spot.x.abs() + spot.out.0.abs() * reach.bars + words.0);
        front = front.max(spot.out.1.abs() * reach.bars + words.1 - spot.y);
    }
    half_width += EDGE;
    front += EDGE;
    let depth = |spots: &[Spot]| spots.iter().map(|s| s.y).fold(0.0, f64::max);
    let heights = jaws
        .each_ref()
        .map(|(_, spots)| front + depth(spots) + BACK);
    let (width, height) = match options.layout {
        Layout::Wide => (half_width * 4.0, heights[0].max(heights[1])),
        Layout::Tall => (half_width * 2.0, heights[0] + heights[1]),
    };
    for (index, (jaw, spots)) in jaws.iter().enumerate() {
        let (x, y) = match (options.layout, index) {
            (_, 0) => (half_width, front),
            (Layout::Wide, _) => (half_width * 3.0, front),
            (Layout::Tall, _) => (half_width, heights[0] + front),
        };
        let name = match jaw {
            Jaw::Upper => "upper jaw",
            Jaw::Lower => "lower jaw",
        };
        canvas.open(&[
            ("class", "sulcus-jaw"),
            ("data-jaw", name),
            ("transform", &format!("translate({x:.1} {y:.1})")),
        ]);
        let middle = depth(spots) * 0.5;
        let text = Text::new(19.0, Anchor::Middle);
        canvas.text((0.0, middle), name, text.bold());
        canvas.text((-38.0, middle + 24.0), "right", text);
        canvas.text((38.0, middle + 24.0), "left", text);
        canvas.line(
            (0.0, middle + 14.0),
            (0.0, middle + 36.0),
            &canvas.soft(),
            1.0,
            None,
        );
        for spot in spots {
            hand.tooth(&mut canvas, spot);
        }
        hand.jaw(&mut canvas, *jaw, spots);
        canvas.close();
    }
    let mut bottom = height;
    if options.legend {
        canvas.open(&[("class", "sulcus-legend")]);
        for line in legend.iter().flat_map(|line| wrap(line, width - 32.0)) {
            canvas.text(
                (16.0, bottom + 6.0),
                &line,
                Text::new(LEGEND, Anchor::Start),
            );
            bottom += LEGEND * 1.4;
        }
        canvas.close();
    }
    canvas.finish(width, bottom, title)
}

/// Lines of the legend no wider than the picture.
fn wrap(text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split(' ') {
        let Some(line) = lines.last_mut() else { break };
        if line.is_empty() {
            line.push_str(word);
        } else if text_width(line, LEGEND) + text_width(word, LEGEND) < room {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

fn legend(record: &Record, options: &Options) -> Vec<String> {
    let species = record.patient.species;
    let normal = normal_depth_mm(species);
    let own = match options.view {
        View::Before | View::After => format!(
            "Bars: depth at six sites, cheek side outwards, tongue side inwards; black with figure: over {normal} mm; white part: recession; ring: bleeding."
        ),
        View::Pockets => format!(
            "Figures: depth in mm at six sites, cheek side outside; in a black box: over {normal} mm; dash: not read."
        ),
        View::Plain => {
            let mut lines = vec![
                "Hatched: taken out. Thick: to be taken out. Dotted: treated. Ring: to be watched. Crossed: was missing."
                    .into(),
            ];
            lines.extend(lesions::legend(record, true));
            return lines;
        }
    };
    let mut lines = vec![
        own,
        "Tooth dashed: not examined. Crossed: missing. Hatched: taken out. Thick: to be taken out. Dotted: treated. Grey discs: roots. \"?\": unconfirmed."
            .into(),
        "F furcation, M mobility, TR tooth resorption, GI gingivitis, CI calculus, PI plaque index; fracture classes as letters."
            .into(),
    ];
    let has_films = record
        .findings()
        .any(|(finding, _)| Kind::OF_FILMS.contains(&finding.kind));
    if has_films {
        lines.push(
            "On film: PA lesion at the root tip, PDL ligament space, bone - loss in % of the root, RR root resorption (surf, infl, repl, cerv, inte), FX fracture."
                .into(),
        );
    }
    lines.extend(lesions::legend(record, false));
    let drawn = dentition::teeth(species, stage(record));
    let mut others: Vec<ToothNumber> = record
        .current()
        .filter_map(|charted| charted.event.tooth())
        .filter(|tooth| !drawn.contains(tooth))
        .collect();
    others.sort_unstable();
    others.dedup();
    if !others.is_empty() {
        let names: Vec<String> = others.iter().map(ToString::to_string).collect();
        lines.push(format!("Recorded too, not drawn: {}.", names.join(", ")));
    }
    lines
}

/// The outline of a tooth seen from above, as path data.
pub(super) fn outline(spot: &Spot) -> String {
    let (l, t) = (spot.length / 2.0, spot.thickness / 2.0);
    // Corner points with the share by which each is rounded, from the front inner corner round.
    let corners: &[(f64, f64)] = match arch::class(spot.tooth) {
        Class::Incisor => &[
            (-0.7, -1.0),
            (-1.0, 0.6),
            (-0.6, 1.0),
            (0.6, 1.0),
            (1.0, 0.6),
            (0.7, -1.0),
        ],
        Class::Canine => &[
            (-0.6, -0.9),
            (-1.0, 0.1),
            (-0.5, 1.0),
            (0.5, 1.0),
            (1.0, 0.1),
            (0.6, -0.9),
        ],
        Class::Premolar => &[
            (-0.6, -1.0),
            (-1.0, -0.2),
            (-0.6, 1.0),
            (0.6, 1.0),
            (1.0, -0.2),
            (0.6, -1.0),
        ],
        Class::Carnassial => &[
            (-0.95, -1.0),
            (-1.0, 0.7),
            (-0.4, 1.0),
            (0.7, 1.0),
            (1.0, 0.2),
            (0.8, -0.7),
        ],
        Class::Molar => &[
            (-0.55, -1.0),
            (-1.0, 0.5),
            (-0.7, 1.0),
            (0.7, 1.0),
            (1.0, 0.5),
            (0.55, -1.0),
        ],
    };
    let points: Vec<(f64, f64)> = corners
        .iter()
        .map(|&(along, out)| spot.at(along * l, out * t))
        .collect();
    rounded(&points)
}

/// A closed line through the middles of the sides, bent at each corner.
pub(super) fn rounded(points: &[(f64, f64)]) -> String {
    let middle = |a: (f64, f64), b: (f64, f64)| ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
    let count = points.len();
    let start = middle(points[count - 1], points[0]);
    let mut d = format!("M{:.1} {:.1}", start.0, start.1);
    for index in 0..count {
        let corner = points[index];
        let next = middle(corner, points[(index + 1) % count]);
        d.push_str(&format!(
            "Q{:.1} {:.1} {:.1} {:.1}",
            corner.0, corner.1, next.0, next.1
        ));
    }
    d.push('Z');
    d
}

/// What became of a tooth, for drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Look {
    NotExamined,
    Examined,
    Missing,
    Extracted,
    ToExtract,
    Treated,
    Watched,
}

/// A site's place across the tooth: front, middle, back third.
pub(super) fn across(site: Site, length: f64) -> f64 {
    match site {
        Site::MesioBuccal | Site::MesioLingual => -length / 3.0,
        Site::Buccal | Site::Lingual => 0.0,
        Site::DistoBuccal | Site::DistoLingual => length / 3.0,
    }
}

/// +1 towards the cheek, -1 towards the tongue.
pub(super) fn direction(site: Site) -> f64 {
    match site.side() {
        Side::Buccal => 1.0,
        Side::Lingual => -1.0,
    }
}

/// Millimetres at a site, and whether confirmed.
pub(super) fn reading(
    record: &Record,
    tooth: ToothNumber,
    kind: Kind,
    site: Site,
) -> Option<(u8, bool)> {
    let charted = record.finding(Subject::Tooth(tooth), kind, Place::Site(site))?;
    match &charted.event {
        Event::FindingRecorded { finding, .. } => match finding.value {
            Value::Mm(mm) => Some((mm, charted.standing == Standing::Confirmed)),
            _ => None,
        },
        _ => None,
    }
}

struct Drawing<'a> {
    record: &'a Record,
    options: &'a Options,
}

impl Hand for Drawing<'_> {
    fn reach(&self, spot: &Spot) -> Reach {
        Drawing::reach(self, spot)
    }

    fn tooth(&self, canvas: &mut Canvas, spot: &Spot) {
        Drawing::tooth(self, canvas, spot);
    }

    fn jaw(&self, canvas: &mut Canvas, jaw: Jaw, spots: &[Spot]) {
        if self.options.view != View::Pockets {
            lesions::draw(canvas, self.record, jaw, spots);
        }
    }
}

impl Drawing<'_> {
    fn has(&self, tooth: ToothNumber, kind: Kind) -> bool {
        self.record
            .finding(Subject::Tooth(tooth), kind, Place::Whole)
            .is_some()
    }

    /// What was done to the tooth, newest last; nothing of it in the view before.
    fn done(&self, tooth: ToothNumber) -> Vec<(&Procedure, &Charted)> {
        if self.options.view == View::Before {
            return Vec::new();
        }
        self.record
            .procedures()
            .filter(|(procedure, _)| procedure.tooth() == Some(tooth))
            .collect()
    }

    fn look(&self, tooth: ToothNumber) -> Look {
        let done = self.done(tooth);
        let decision = self.record.decision(tooth).map(|(decision, ..)| decision);
        if done
            .iter()
            .any(|(procedure, _)| matches!(procedure, Procedure::Extracted { .. }))
        {
            Look::Extracted
        } else if self.has(tooth, Kind::Absent) {
            Look::Missing
        } else if done.iter().any(|(procedure, _)| {
            matches!(
                procedure,
                Procedure::Treated { .. }
                    | Procedure::CrownRemoved { .. }
                    | Procedure::GumSurgery { .. }
            )
        }) {
            Look::Treated
        } else {
            match decision {
                Some(Decision::Extract) => Look::ToExtract,
                Some(Decision::Monitor { .. }) => Look::Watched,
                _ if self.record.findings_of(tooth).next().is_none() => Look::NotExamined,
                _ => Look::Examined,
            }
        }
    }

    fn tooth(&self, canvas: &mut Canvas, spot: &Spot) {
        let look = self.look(spot.tooth);
        let class = match look {
            Look::NotExamined => "not-examined",
            Look::Examined => "examined",
            Look::Missing => "missing",
            Look::Extracted => "extracted",
            Look::ToExtract => "to-extract",
            Look::Treated => "treated",
            Look::Watched => "watched",
        };
        canvas.open(&[
            ("class", &format!("sulcus-tooth sulcus-{class}")),
            ("data-tooth", &spot.tooth.to_string()),
        ]);
        canvas.title(&self.words(spot.tooth, class));
        match self.options.view {
            View::Plain => {}
            View::Pockets => self.figures(canvas, spot),
            View::Before | View::After if look == Look::Extracted => {}
            View::Before | View::After => self.bars(canvas, spot),
        }
        self.crown(canvas, spot, look);
        if self.options.view == View::Plain {
            self.say_plainly(canvas, spot, look);
        } else if self.options.view != View::Pockets {
            self.marks(canvas, spot);
        }
        canvas.close();
    }

    fn words(&self, tooth: ToothNumber, class: &str) -> String {
        format!(
            "{tooth}, {}, {}",
            dentition::name(tooth),
            class.replace('-', " ")
        )
    }

    fn crown(&self, canvas: &mut Canvas, spot: &Spot, look: Look) {
        let (ink, soft) = (canvas.ink(), canvas.soft());
        let (fill, stroke, width, dash) = match look {
            Look::NotExamined => (canvas.paper(), soft, 1.4, Some("3 4")),
            Look::Missing => (canvas.paper(), soft, 1.4, None),
            Look::Extracted => (canvas.hatch(), ink.clone(), 1.4, None),
            Look::ToExtract => (canvas.paper(), ink.clone(), 4.0, None),
            Look::Treated => (canvas.dots(), ink.clone(), 1.8, None),
            Look::Watched | Look::Examined => (canvas.paper(), ink.clone(), 1.8, None),
        };
        let d = outline(spot);
        if look == Look::Watched && self.options.view == View::Plain {
            let around = Spot {
                length: spot.length + 12.0,
                thickness: spot.thickness + 12.0,
                ..*spot
            };
            canvas.path(&outline(&around), "none", &ink, 3.5, None);
        }
        if self.options.mark == Some(spot.tooth) {
            let around = Spot {
                length: spot.length + 12.0,
                thickness: spot.thickness + 12.0,
                ..*spot
            };
            canvas.open(&[("class", "sulcus-mark")]);
            canvas.path(&outline(&around), "none", &ink, 3.0, Some("8 4"));
            canvas.close();
        }
        canvas.path(&d, &fill, &stroke, width, dash);
        if look == Look::Missing {
            let (l, t) = (spot.length / 2.0, spot.thickness / 2.0);
            for sign in [1.0, -1.0] {
                canvas.line(
                    spot.at(-l, -t * sign),
                    spot.at(l, t * sign),
                    &ink,
                    1.4,
                    None,
                );
            }
        } else if !matches!(look, Look::Extracted | Look::Treated)
            && self.options.view != View::Plain
        {
            self.roots(canvas, spot);
        }
        // The number stands on a plate of paper where the tooth is patterned or crossed.
        if matches!(look, Look::Missing | Look::Extracted | Look::Treated) {
            let paper = canvas.paper();
            canvas.rect(spot.x - 15.0, spot.y - 8.0, 30.0, 16.0, &paper, "none");
        }
        canvas.text(
            (spot.x, spot.y),
            &spot.tooth.to_string(),
            Text::new(NUMBER, Anchor::Middle).bold(),
        );
    }

    fn roots(&self, canvas: &mut Canvas, spot: &Spot) {
        let Some(roots) = dentition::roots(self.record.patient.species, spot.tooth) else {
            return;
        };
        let (l, t) = (spot.length, spot.thickness);
        let places: &[(f64, f64)] = match (roots.count, spot.tooth.jaw()) {
            (1, _) => &[(0.0, 0.0)],
            (2, _) => &[(-0.24, 0.0), (0.24, 0.0)],
            // The upper molars' third root stands on the palate side; the cutting tooth's at the front inside.
            (_, _) if arch::class(spot.tooth) == Class::Carnassial => {
                &[(-0.24, 0.2), (-0.26, -0.24), (0.24, 0.0)]
            }
            (_, _) => &[(-0.24, 0.22), (0.24, 0.22), (0.0, -0.26)],
        };
        let tint = canvas.tint();
        for (along, out) in places {
            let radius = f64::min(l, t) * 0.19;
            canvas.circle(spot.at(along * l, out * t), radius, &tint, "none", 0.0);
        }
    }

    fn bars(&self, canvas: &mut Canvas, spot: &Spot) {
        let normal = normal_depth_mm(self.record.patient.species);
        let (ink, soft, paper, tint) = (canvas.ink(), canvas.soft(), canvas.paper(), canvas.tint());
        let half = spot.length / 6.0 - 1.2;
        for site in Site::ALL {
            let depth = reading(self.record, spot.tooth, Kind::Depth, site);
            let recession = reading(self.record, spot.tooth, Kind::Recession, site)
                .map_or(0, |(mm, _)| mm.min(LONGEST_MM));
            let (middle, way) = (across(site, spot.length), direction(site));
            let mut foot = spot.thickness / 2.0 + 2.0;
            let bar = |from: f64, to: f64| {
                [
                    spot.at(middle - half, from * way),
                    spot.at(middle + half, from * way),
                    spot.at(middle + half, to * way),
                    spot.at(middle - half, to * way),
                ]
            };
            if recession > 0 {
                let top = foot + f64::from(recession) * MM;
                canvas.polygon(&bar(foot, top), &paper, &ink, 1.0, None);
                foot = top;
            }
            let Some((mm, confirmed)) = depth else {
                continue;
            };
            let top = foot + f64::from(mm.min(LONGEST_MM)) * MM;
            let deep = mm > normal;
            let (fill, stroke) = match (deep, confirmed) {
                (true, true) => (&ink, &ink),
                (true, false) => (&paper, &ink),
                (false, _) => (&tint, &soft),
            };
            let dash = (!confirmed).then_some("2 2");
            if mm > 0 {
                canvas.polygon(&bar(foot, top), fill, stroke, 0.8, dash);
            }
            let bleeds = self
                .record
                .finding(
                    Subject::Tooth(spot.tooth),
                    Kind::Bleeding,
                    Place::Site(site),
                )
                .is_some();
            let mut end = top + 8.0;
            if bleeds {
                canvas.circle(spot.at(middle, (top + 5.0) * way), 3.4, &paper, &ink, 1.6);
                end += 8.0;
            }
            if deep {
                let text = if confirmed {
                    mm.to_string()
                } else {
                    format!("{mm}?")
                };
                canvas.text(
                    spot.at(middle, end * way),
                    &text,
                    Text::new(FIGURE, Anchor::Middle).bold(),
                );
            }
        }
    }

    fn figures(&self, canvas: &mut Canvas, spot: &Spot) {
        let normal = normal_depth_mm(self.record.patient.species);
        let (ink, paper) = (canvas.ink(), canvas.paper());
        for site in Site::ALL {
            let way = direction(site);
            let at = spot.at(
                across(site, spot.length) * 1.1,
                (spot.thickness / 2.0 + 13.0) * way,
            );
            let text = Text::new(FIGURE, Anchor::Middle);
            match reading(self.record, spot.tooth, Kind::Depth, site) {
                None => canvas.text(at, "-", text),
                Some((mm, confirmed)) => {
                    let figure = if confirmed {
                        mm.to_string()
                    } else {
                        format!("{mm}?")
                    };
                    if mm > normal {
                        canvas.rect(at.0 - 8.0, at.1 - 8.0, 16.0, 16.0, &paper, &ink);
                        canvas.text(at, &figure, text.bold());
                    } else {
                        canvas.text(at, &figure, text);
                    }
                }
            }
        }
    }

    /// The decision or what was done, and the other findings, shortened; true for bold.
    fn mark_lines(&self, tooth: ToothNumber) -> Vec<(String, bool)> {
        let mut lines: Vec<(String, bool)> = Vec::new();
        let done = self.done(tooth);
        if let Some((procedure, charted)) =
            done.iter().rev().find(|(procedure, _)| is_told(procedure))
        {
            lines.push((doubted(short_procedure(procedure), charted), true));
        } else if let Some((decision, _, charted)) = self.record.decision(tooth) {
            lines.push((doubted(short_decision(decision), charted), true));
        }
        let mut findings: Vec<String> = self
            .record
            .findings_of(tooth)
            .filter_map(|(finding, charted)| Some(doubted(short_finding(finding)?, charted)))
            .collect();
        // The same at two roots is told once here.
        findings.dedup();
        // Two a line: neighbours need their room.
        for pair in findings.chunks(2) {
            lines.push((pair.join(" "), false));
        }
        if lines.len() > 3 {
            lines.truncate(3);
            if let Some(last) = lines.last_mut() {
                last.0.push_str(" …");
            }
        }
        lines
    }

    /// From the tooth's middle to where words may begin.
    fn words_start(&self, spot: &Spot) -> f64 {
        let bars = match self.look(spot.tooth) {
            Look::Extracted => 0.0,
            _ => self.highest(spot),
        };
        spot.thickness / 2.0 + 10.0 + bars
    }

    fn reach(&self, spot: &Spot) -> Reach {
        match self.options.view {
            View::Pockets => Reach {
                bars: spot.thickness / 2.0 + 24.0,
                words: 0.0,
            },
            View::Plain => Reach {
                bars: spot.thickness / 2.0 + 14.0,
                words: plain_word(self.look(spot.tooth)).map_or(0.0, |word| text_width(word, WORD)),
            },
            View::Before | View::After => Reach {
                bars: self.words_start(spot),
                words: self
                    .mark_lines(spot.tooth)
                    .iter()
                    .map(|(line, _)| text_width(line, MARK))
                    .fold(0.0, f64::max),
            },
        }
    }

    /// Beyond the bars on the cheek side.
    fn marks(&self, canvas: &mut Canvas, spot: &Spot) {
        let lines = self.mark_lines(spot.tooth);
        let start = self.words_start(spot);
        // At the sides text lies; at the front, where teeth stand side by side, it stands on end.
        let at_side = is_at_side(spot);
        let count = lines.len() as f64;
        for (index, (line, bold)) in lines.iter().enumerate() {
            let shift = (index as f64 - (count - 1.0) / 2.0) * MARK * 1.1;
            let mut text = Text::new(MARK, Anchor::Start);
            if *bold {
                text = text.bold();
            }
            let from = spot.at(0.0, start);
            if at_side {
                text.anchor = if spot.out.0 > 0.0 {
                    Anchor::Start
                } else {
                    Anchor::End
                };
                canvas.text((from.0, from.1 + shift), line, text);
            } else {
                // The baseline is set below the point along y; turned text needs the point shifted along x.
                let at = (from.0 + shift, from.1);
                canvas.text(at, line, text.turned(-90.0));
            }
        }
    }

    /// Height of the tallest bar on the cheek side with its figure.
    fn highest(&self, spot: &Spot) -> f64 {
        let normal = normal_depth_mm(self.record.patient.species);
        Site::of_side(Side::Buccal)
            .into_iter()
            .map(|site| {
                let mm = |kind| {
                    reading(self.record, spot.tooth, kind, site)
                        .map_or(0, |(mm, _)| mm.min(LONGEST_MM))
                };
                let figure = if mm(Kind::Depth) > normal { 16.0 } else { 0.0 };
                let bleeding = self
                    .record
                    .finding(
                        Subject::Tooth(spot.tooth),
                        Kind::Bleeding,
                        Place::Site(site),
                    )
                    .map_or(0.0, |_| 8.0);
                f64::from(mm(Kind::Depth) + mm(Kind::Recession)) * MM + figure + bleeding
            })
            .fold(0.0, f64::max)
    }

    fn say_plainly(&self, canvas: &mut Canvas, spot: &Spot, look: Look) {
        let Some(word) = plain_word(look) else { return };
        let from = spot.at(0.0, spot.thickness / 2.0 + 12.0);
        let text = Text::new(WORD, Anchor::Start).bold();
        if is_at_side(spot) {
            let anchor = if spot.out.0 > 0.0 {
                Anchor::Start
            } else {
                Anchor::End
            };
            canvas.text(from, word, Text { anchor, ..text });
        } else {
            canvas.text(from, word, text.turned(-90.0));
        }
    }
}

/// What the owner's picture says beside a tooth.
fn plain_word(look: Look) -> Option<&'static str> {
    match look {
        Look::Extracted => Some("taken out"),
        Look::ToExtract => Some("to be taken out"),
        Look::Treated => Some("treated"),
        Look::Watched => Some("watch"),
        Look::Missing | Look::Examined | Look::NotExamined => None,
    }
}

fn short_treatment(treatment: Treatment) -> &'static str {
    match treatment {
        Treatment::Unspecified => "treat",
        Treatment::RootPlaningClosed => "planing closed",
        Treatment::RootPlaningOpen => "planing open",
        Treatment::RootCanal => "root canal",
        Treatment::VitalPulpTherapy => "vital pulp",
        Treatment::Restoration => "restoration",
        Treatment::CrownAmputation => "crown amp.",
        Treatment::GumSurgery => "gum surgery",
        Treatment::Refer => "refer",
        Treatment::FistulaRepair => "fistula rep.",
        Treatment::FistulaRepairDouble => "fistula rep. 2",
        Treatment::Alveoloplasty => "alveoloplasty",
        Treatment::BoneGraft => "bone graft",
        Treatment::Membrane => "membrane",
        Treatment::Sealant => "sealant",
        Treatment::Odontoplasty => "odontoplasty",
        Treatment::InterceptiveExtraction => "interceptive",
        Treatment::Operculectomy => "operculect.",
        Treatment::CrownReduction => "crown red.",
    }
}

fn doubted(text: String, charted: &Charted) -> String {
    if charted.standing == Standing::Confirmed {
        text
    } else {
        format!("{text}?")
    }
}

/// Whether the picture names it: stitches and flaps belong to what they were done for.
fn is_told(procedure: &Procedure) -> bool {
    matches!(
        procedure,
        Procedure::Extracted { .. }
            | Procedure::CrownRemoved { .. }
            | Procedure::RootLeft { .. }
            | Procedure::GumSurgery { .. }
            | Procedure::Treated { .. }
    )
}

fn short_procedure(procedure: &Procedure) -> String {
    match procedure {
        Procedure::Extracted { .. } => "extracted".into(),
        Procedure::CrownRemoved { .. } => "crown removed".into(),
        Procedure::RootLeft { .. } => "root left".into(),
        Procedure::GumSurgery { .. } => "gum surgery".into(),
        Procedure::Treated { treatment, .. } => short_treatment(*treatment).into(),
        _ => String::new(),
    }
}

fn short_decision(decision: &Decision) -> String {
    match decision {
        Decision::Extract => "extract".into(),
        Decision::Monitor { months: None } => "monitor".into(),
        Decision::Monitor { months: Some(m) } => format!("monitor {m} mo"),
        Decision::Leave => "leave".into(),
        Decision::Treat(treatment) => short_treatment(*treatment).into(),
    }
}

/// The profession's letters where it has them; none for what the drawing shows already.
fn short_finding(finding: &Finding) -> Option<String> {
    let value = wording::value(&finding.value);
    Some(match (finding.kind, finding.place) {
        (Kind::Depth | Kind::Absent | Kind::Normal, _) => return None,
        (Kind::Recession | Kind::Bleeding, Place::Site(_)) => return None,
        (kind, _) if Kind::OF_LESIONS.contains(&kind) => return None,
        (Kind::Vitality, _) => match value.as_str() {
            "vital" => "T/V".into(),
            "non vital" => "T/NV".into(),
            _ => "T/V?".into(),
        },
        (Kind::Transillumination, _) => format!("light {value}"),
        (Kind::Fracture | Kind::Wear, _) => value,
        (Kind::FilmClear | Kind::FilmUnreadable, _) => return None,
        (Kind::LigamentWide, _) => "PDL wide".into(),
        (Kind::Ankylosis, _) => "no PDL".into(),
        (Kind::BoneLoss | Kind::BoneLossHorizontal | Kind::BoneLossVertical, _) => {
            format!("bone -{}", value.replace(' ', ""))
        }
        (Kind::RootResorption, _) => format!("RR {}", value.chars().take(4).collect::<String>()),
        (Kind::RootFracture, _) => "root FX".into(),
        (Kind::RootUnusual, _) => format!("{value} root"),
        (Kind::PulpWidth, _) => format!("pulp {value}"),
        (Kind::Cyst, _) => "cyst".into(),
        (Kind::BoneLysis, _) => "lysis".into(),
        (Kind::JawFracture, _) => "jaw FX".into(),
        (Kind::JawBoneThin, _) => "thin bone".into(),
        (Kind::SuccessorLacking, _) => "no successor".into(),
        (Kind::ResorptionStage, _) => format!("TR{value}"),
        (Kind::ResorptionType, _) => format!("type {value}"),
        (Kind::Furcation, place) => {
            let place = wording::place(place, finding.subject);
            format!(
                "F{value}{}",
                place
                    .chars()
                    .next()
                    .map(|c| format!(" {c}"))
                    .unwrap_or_default()
            )
        }
        (kind, _) => {
            let name = kind.spec().abbreviation.unwrap_or(kind.spec().title);
            format!("{name}{}", value.replace(" mm", ""))
        }
    })
}
