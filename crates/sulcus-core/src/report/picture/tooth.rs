//! One tooth large: seen from the cheek and from the tongue, with gum margin and pocket floor as contours.
//!
//! Invariant: a contour has a point only where something was read; nothing is drawn between by guess across a gap.

use super::arch::{Class, class};
use super::canvas::{Anchor, Canvas, Text};
use super::mouth::{reading, rounded};
use super::{Options, normal_depth_mm};
use crate::record::{Record, Standing, wording};
use crate::terms::{Jaw, Kind, Place, Root, Side, Site, ToothNumber, Value, dentition};

const MM: f64 = 11.0;
const PANEL: f64 = 300.0;
const CROWN: f64 = 110.0;
const ROOT: f64 = 190.0;

/// The tooth's two sides, with figures; crowns down for upper teeth, as in the mouth.
pub fn tooth_svg(record: &Record, tooth: ToothNumber, options: &Options) -> String {
    let mut canvas = Canvas::new(options);
    let films = film_lines(record, tooth);
    let height = 470.0 + films.len() as f64 * 24.0;
    for (at, line) in films.iter().enumerate() {
        canvas.text(
            (PANEL, 474.0 + at as f64 * 24.0),
            line,
            Text::new(17.0, Anchor::Middle),
        );
    }
    canvas.text(
        (PANEL, 26.0),
        &format!("{tooth}"),
        Text::new(34.0, Anchor::Middle).bold(),
    );
    canvas.text(
        (PANEL, 56.0),
        &dentition::name(tooth),
        Text::new(18.0, Anchor::Middle),
    );
    canvas.open(&[
        ("class", "sulcus-tooth-large"),
        ("data-tooth", &tooth.to_string()),
    ]);
    for (index, side) in [Side::Buccal, Side::Lingual].into_iter().enumerate() {
        let x = PANEL * (index as f64 + 0.5);
        Panel {
            record,
            tooth,
            side,
            x,
            up: if tooth.jaw() == Jaw::Upper { -1.0 } else { 1.0 },
            neck: if tooth.jaw() == Jaw::Upper {
                300.0
            } else {
                210.0
            },
        }
        .draw(&mut canvas);
    }
    canvas.close();
    canvas.finish(
        PANEL * 2.0,
        height,
        &format!("Tooth {tooth}, {}", dentition::name(tooth)),
    )
}

/// What films show of the tooth, a line for each.
fn film_lines(record: &Record, tooth: ToothNumber) -> Vec<String> {
    record
        .findings_of(tooth)
        .filter(|(finding, _)| Kind::OF_FILMS.contains(&finding.kind))
        .map(|(finding, charted)| {
            let doubt = if charted.standing == Standing::Confirmed {
                ""
            } else {
                " ?"
            };
            format!("film: {}{doubt}", wording::finding(finding))
        })
        .collect()
}

struct Panel<'a> {
    record: &'a Record,
    tooth: ToothNumber,
    side: Side,
    x: f64,
    /// +1 where roots point down the picture.
    up: f64,
    /// Height of the line between crown and root.
    neck: f64,
}

impl Panel<'_> {
    /// So many units from the neck towards the root's tip.
    fn y(&self, towards_root: f64) -> f64 {
        self.neck + towards_root * self.up
    }

    fn draw(&self, canvas: &mut Canvas) {
        let name = match (self.side, self.tooth.jaw()) {
            (Side::Buccal, _) => "cheek side",
            (Side::Lingual, Jaw::Upper) => "palate side",
            (Side::Lingual, Jaw::Lower) => "tongue side",
        };
        canvas.text((self.x, 84.0), name, Text::new(16.0, Anchor::Middle));
        self.roots(canvas);
        self.on_film(canvas);
        self.crown(canvas);
        let (ink, soft) = (canvas.ink(), canvas.soft());
        canvas.line(
            (self.x - 120.0, self.neck),
            (self.x + 120.0, self.neck),
            &soft,
            1.2,
            Some("6 5"),
        );
        let sites = self.sites();
        let mut margin = Vec::new();
        let mut floor = Vec::new();
        for (site, x) in sites {
            let recession = self
                .mm(Kind::Recession, site)
                .map_or(0.0, |(mm, _)| f64::from(mm));
            let enlargement = self
                .mm(Kind::Enlargement, site)
                .map_or(0.0, |(mm, _)| f64::from(mm));
            let edge = recession - enlargement;
            let depth = self.mm(Kind::Depth, site);
            if let Some((mm, _)) = depth {
                margin.push(Some((x, self.y(edge * MM))));
                floor.push(Some((x, self.y((edge + f64::from(mm)) * MM))));
            } else {
                margin.push(None);
                floor.push(None);
            }
            self.figure(canvas, site, x, depth);
        }
        for pair in 0..2 {
            if let (Some(a), Some(b), Some(c), Some(d)) =
                (margin[pair], margin[pair + 1], floor[pair + 1], floor[pair])
            {
                canvas.polygon(&[a, b, c, d], &canvas.hatch(), "none", 0.0, None);
                canvas.line(a, b, &ink, 4.0, None);
                canvas.line(d, c, &ink, 2.5, None);
            }
        }
        for (a, d) in margin.into_iter().zip(floor) {
            if let (Some(a), Some(d)) = (a, d) {
                canvas.line(a, d, &ink, 2.0, None);
            }
        }
    }

    /// Sites of this side by their place in the picture: the tooth's front is at the midline's hand.
    fn sites(&self) -> [(Site, f64); 3] {
        let [front, middle, back] = Site::of_side(self.side);
        [
            (front, self.x - 82.0),
            (middle, self.x),
            (back, self.x + 82.0),
        ]
    }

    fn mm(&self, kind: Kind, site: Site) -> Option<(u8, bool)> {
        reading(self.record, self.tooth, kind, site)
    }

    fn figure(&self, canvas: &mut Canvas, site: Site, x: f64, depth: Option<(u8, bool)>) {
        let y = 442.0;
        let normal = normal_depth_mm(self.record.patient.species);
        let text = Text::new(28.0, Anchor::Middle);
        match depth {
            None => canvas.text((x, y), "-", text),
            Some((mm, confirmed)) => {
                let figure = if confirmed {
                    mm.to_string()
                } else {
                    format!("{mm}?")
                };
                let text = if mm > normal { text.bold() } else { text };
                if mm > normal {
                    let ink = canvas.ink();
                    canvas.rect(x - 26.0, y - 19.0, 52.0, 38.0, "none", &ink);
                }
                canvas.text((x, y), &figure, text);
            }
        }
        let letters = wording::site_letters(site, self.tooth);
        canvas.text((x, y - 30.0), letters, Text::new(14.0, Anchor::Middle));
    }

    /// A ring at each root tip with a lesion, a broken line where the bone begins.
    fn on_film(&self, canvas: &mut Canvas) {
        let half = self.half_width();
        let ink = canvas.ink();
        let count =
            dentition::roots(self.record.patient.species, self.tooth).map_or(1, |r| r.count);
        for (finding, _) in self.record.findings_of(self.tooth) {
            // The middle of each root meant, in halves of the tooth's width.
            let tips: &[f64] = match (finding.place, count) {
                (_, 1) => &[0.0],
                (Place::Root(Root::Mesial | Root::MesioBuccal), _) => &[-0.6],
                (Place::Root(Root::Distal | Root::DistoBuccal), _) => &[0.6],
                (Place::Root(Root::Palatal | Root::MesioPalatal), _) => &[0.0],
                (_, 2) => &[-0.6, 0.6],
                _ => &[-0.6, 0.0, 0.6],
            };
            for tip in tips {
                let x = self.x + tip * half;
                match (finding.kind, &finding.value) {
                    (Kind::PeriapicalLesion, _) => {
                        canvas.circle((x, self.y(ROOT * 1.02)), 17.0, "none", &ink, 2.5);
                    }
                    (_, Value::Percent(percent)) => {
                        let y = self.y(ROOT * f64::from(*percent) / 100.0);
                        canvas.line((x - 40.0, y), (x + 40.0, y), &ink, 3.0, Some("4 4"));
                    }
                    _ => {}
                }
            }
        }
    }

    fn crown(&self, canvas: &mut Canvas) {
        let half = self.half_width();
        let top = -CROWN;
        let tips: &[(f64, f64)] = match class(self.tooth) {
            Class::Incisor => &[
                (-0.8, 0.62),
                (-0.35, 0.8),
                (0.0, 0.72),
                (0.35, 0.8),
                (0.8, 0.62),
            ],
            Class::Canine => &[(-0.75, 0.5), (-0.1, 1.25), (0.45, 0.6)],
            Class::Premolar => &[(-0.8, 0.4), (-0.1, 1.0), (0.5, 0.45), (0.85, 0.3)],
            Class::Carnassial => &[
                (-0.85, 0.45),
                (-0.3, 1.0),
                (0.1, 0.5),
                (0.5, 0.75),
                (0.9, 0.35),
            ],
            Class::Molar => &[
                (-0.8, 0.55),
                (-0.4, 0.7),
                (0.0, 0.5),
                (0.4, 0.6),
                (0.85, 0.4),
            ],
        };
        let mut points = vec![(self.x - half * 0.86, self.y(0.0))];
        points.push((self.x - half, self.y(top * 0.3)));
        points.extend(
            tips.iter()
                .map(|(along, high)| (self.x + along * half, self.y(top * high * 0.8))),
        );
        points.push((self.x + half, self.y(top * 0.3)));
        points.push((self.x + half * 0.86, self.y(0.0)));
        // Twice the same point keeps the corner at the neck; the tips are bent.
        points.insert(0, points[0]);
        points.extend(points.last().copied());
        let (ink, paper) = (canvas.ink(), canvas.paper());
        canvas.path(&rounded(&points), &paper, &ink, 2.5, None);
    }

    fn half_width(&self) -> f64 {
        match class(self.tooth) {
            Class::Incisor => 58.0,
            Class::Canine => 66.0,
            Class::Premolar => 88.0,
            Class::Carnassial => 112.0,
            Class::Molar => 100.0,
        }
    }

    fn roots(&self, canvas: &mut Canvas) {
        let half = self.half_width();
        let count =
            dentition::roots(self.record.patient.species, self.tooth).map_or(1, |r| r.count);
        let (ink, paper, tint) = (canvas.ink(), canvas.paper(), canvas.tint());
        // Begun above the neck: the crown is drawn over it.
        let mut root = |from: f64, to: f64, tip: f64, fill: &str| {
            let x = |edge: f64, share: f64| self.x + (edge * (1.0 - share) + tip * share) * half;
            let points = [
                (x(from, 0.0), self.y(-30.0)),
                (x(from, 0.05), self.y(ROOT * 0.4)),
                (x(from, 0.6), self.y(ROOT * 0.9)),
                (x(tip, 1.0), self.y(ROOT * 1.06)),
                (x(to, 0.6), self.y(ROOT * 0.9)),
                (x(to, 0.05), self.y(ROOT * 0.4)),
                (x(to, 0.0), self.y(-30.0)),
            ];
            canvas.path(&rounded(&points), fill, &ink, 1.8, None);
        };
        match count {
            1 => root(-0.86, 0.86, 0.0, &paper),
            2 => {
                root(-0.86, -0.08, -0.6, &paper);
                root(0.08, 0.86, 0.6, &paper);
            }
            _ => {
                // The third root lies behind the two, on the palate side.
                if self.side == Side::Buccal {
                    root(-0.3, 0.3, 0.0, &tint);
                }
                root(-0.86, -0.08, -0.6, &paper);
                root(0.08, 0.86, 0.6, &paper);
                if self.side == Side::Lingual {
                    root(-0.36, 0.36, 0.0, &paper);
                }
            }
        }
    }
}
