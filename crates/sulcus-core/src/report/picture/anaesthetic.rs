//! The whole anaesthetic as one picture: readings over time, each with its symbol, steps and drugs above them.
//!
//! Invariants: lines join two readings only where no interval was missed between them, a gap is hatched and nothing is
//! drawn through it; every series differs by symbol, not by colour; a reading outside its limit has a ring.

use jiff::Timestamp;

use super::canvas::{Anchor, Canvas, Text};
use super::{Colours, Options};
use crate::record::monitoring::{self, Point, Stand};
use crate::record::{Record, Standing};
use crate::terms::limits;
use crate::terms::vital::{Part, VitalSign, decimal};
use crate::terms::watch_settings::WatchSettings;
use crate::terms::{Procedure, Watched};

const WIDTH: f64 = 760.0;
const LEFT: f64 = 52.0;
const RIGHT: f64 = 150.0;
const TOP: f64 = 34.0;
const PANEL: f64 = 118.0;
const BETWEEN: f64 = 16.0;
/// Room of a sign above the panels.
const SIGN: f64 = 12.0;

/// A symbol of a series.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Mark {
    Disc,
    Ring,
    Square,
    Diamond,
    Up,
    Down,
    Cross,
}

struct Series {
    sign: VitalSign,
    part: Part,
    mark: Mark,
    title: &'static str,
}

const fn series(sign: VitalSign, part: Part, mark: Mark, title: &'static str) -> Series {
    Series {
        sign,
        part,
        mark,
        title,
    }
}

/// Panels from top to bottom: title with unit, and its series.
const PANELS: [(&str, &[Series]); 4] = [
    (
        "/min, mmHg",
        &[
            series(VitalSign::HeartRate, Part::Whole, Mark::Disc, "heart rate"),
            series(VitalSign::Pressure, Part::Systolic, Mark::Down, "systolic"),
            series(VitalSign::Pressure, Part::Mean, Mark::Diamond, "mean"),
            series(VitalSign::Pressure, Part::Diastolic, Mark::Up, "diastolic"),
        ],
    ),
    (
        "%, mmHg",
        &[
            series(
                VitalSign::OxygenSaturation,
                Part::Whole,
                Mark::Square,
                "saturation %",
            ),
            series(
                VitalSign::EndTidalCo2,
                Part::Whole,
                Mark::Ring,
                "end tidal CO2",
            ),
        ],
    ),
    (
        "°C",
        &[series(
            VitalSign::Temperature,
            Part::Whole,
            Mark::Diamond,
            "temperature",
        )],
    ),
    (
        "/min, %",
        &[
            series(
                VitalSign::BreathingRate,
                Part::Whole,
                Mark::Cross,
                "breathing rate",
            ),
            series(VitalSign::Isoflurane, Part::Whole, Mark::Up, "isoflurane %"),
            series(
                VitalSign::Sevoflurane,
                Part::Whole,
                Mark::Down,
                "sevoflurane %",
            ),
        ],
    ),
];

/// One dot of a series.
struct Dot {
    minute: f64,
    value: f64,
    at: Timestamp,
    is_outside: bool,
    is_machine_read: bool,
    is_confirmed: bool,
}

/// Something at a moment, by its sign above the panels and its words below them.
struct Happening {
    minute: f64,
    sign: String,
    text: String,
}

/// The picture; none where no vital sign was read. `until`: the newest moment known, where it still runs.
pub fn anaesthetic_svg(
    record: &Record,
    settings: &WatchSettings,
    until: Timestamp,
    colours: Colours,
    id_prefix: &str,
) -> Option<String> {
    let points = monitoring::readings(record);
    let first = points.first()?.at;
    let from = monitoring::span(record).map_or(first, |(from, _)| from.min(first));
    let last = points.last().map_or(first, |point| point.at);
    let to = monitoring::span(record)
        .and_then(|(_, to)| to)
        .unwrap_or(until)
        .max(last);
    let minutes = (minutes(from, to)).max(10.0);
    let chart = Chart {
        record,
        settings,
        from,
        minutes,
    };
    let panels: Vec<(&str, Panel)> = PANELS
        .iter()
        .map(|(title, all)| {
            let read = all
                .iter()
                .map(|series| (series, chart.dots(series, &points)))
                .filter(|(_, dots)| !dots.is_empty())
                .collect();
            (*title, read)
        })
        .filter(|(_, read): &(&str, Panel)| !read.is_empty())
        .collect();
    let happenings = chart.happenings();
    let mut canvas = Canvas::new(&Options {
        colours,
        id_prefix: id_prefix.to_owned(),
        ..Options::default()
    });
    let bottom = TOP + panels.len() as f64 * (PANEL + BETWEEN);
    chart.gaps(&mut canvas, bottom, to);
    chart.time_axis(&mut canvas, bottom);
    for (at, (title, read)) in panels.iter().enumerate() {
        chart.panel(
            &mut canvas,
            TOP + at as f64 * (PANEL + BETWEEN),
            title,
            read,
        );
    }
    let height = chart.happen(&mut canvas, bottom, &happenings);
    let title = format!("Anaesthetic of {}", record.patient.name);
    Some(canvas.finish(WIDTH, height, &title))
}

fn minutes(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64() / 60.0
}

/// The lines of one panel.
type Panel = Vec<(&'static Series, Vec<Dot>)>;

struct Chart<'a> {
    record: &'a Record,
    settings: &'a WatchSettings,
    from: Timestamp,
    minutes: f64,
}

impl Chart<'_> {
    fn x(&self, minute: f64) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * (minute / self.minutes).clamp(0.0, 1.0)
    }

    fn dots(&self, series: &Series, points: &[Point<'_>]) -> Vec<Dot> {
        let own = self.settings.limits();
        let patient = &self.record.patient;
        let stands = monitoring::stands(self.record, &own, series.sign);
        points
            .iter()
            .filter(|point| point.reading.sign == series.sign)
            .filter_map(|point| {
                let (_, hundredths) = point
                    .reading
                    .parts()
                    .into_iter()
                    .find(|(part, _)| *part == series.part)?;
                let is_low_or_high = stands.iter().any(|(number, stand)| {
                    *number == point.charted.number
                        && matches!(stand, Stand::Watch(_) | Stand::Alert(_))
                });
                // Of a pressure only the part that is outside has the ring.
                let is_outside = is_low_or_high
                    && limits::broken(patient.species, patient.weight, &own, &point.reading)
                        .iter()
                        .any(|limit| {
                            limit.severity == limits::Severity::Action && limit.part == series.part
                        });
                Some(Dot {
                    minute: minutes(self.from, point.at),
                    value: f64::from(hundredths) / 100.0,
                    at: point.at,
                    is_outside,
                    is_machine_read: point.charted.is_machine_read(),
                    is_confirmed: point.charted.standing == Standing::Confirmed,
                })
            })
            .collect()
    }

    fn gaps(&self, canvas: &mut Canvas, bottom: f64, to: Timestamp) {
        for gap in monitoring::gaps(self.record, self.settings.interval_minutes, to) {
            let (x, end) = (
                self.x(minutes(self.from, gap.from)),
                self.x(minutes(self.from, gap.to)),
            );
            let hatch = canvas.hatch();
            canvas.open(&[("class", "gap"), ("opacity", "0.35")]);
            canvas.title(&format!("no vital sign for {} minutes", gap.minutes()));
            canvas.rect(
                x,
                TOP,
                (end - x).max(1.0),
                bottom - TOP - BETWEEN,
                &hatch,
                "none",
            );
            canvas.close();
        }
    }

    fn time_axis(&self, canvas: &mut Canvas, bottom: f64) {
        let step = [5.0, 10.0, 15.0, 30.0, 60.0]
            .into_iter()
            .find(|step| self.minutes / step <= 12.0)
            .unwrap_or(120.0);
        let (soft, ink) = (canvas.soft(), canvas.ink());
        let mut minute = 0.0;
        while minute <= self.minutes {
            let x = self.x(minute);
            canvas.line((x, TOP), (x, bottom - BETWEEN), &soft, 0.4, None);
            canvas.text(
                (x, bottom - BETWEEN + 9.0),
                &format!("{minute:.0}"),
                Text::new(9.0, Anchor::Middle),
            );
            minute += step;
        }
        let end = WIDTH - RIGHT;
        canvas.line(
            (LEFT, bottom - BETWEEN),
            (end, bottom - BETWEEN),
            &ink,
            0.8,
            None,
        );
        canvas.text(
            (end + 8.0, bottom - BETWEEN + 9.0),
            "minutes",
            Text::new(9.0, Anchor::Start),
        );
    }

    fn panel(&self, canvas: &mut Canvas, top: f64, title: &str, read: &[(&Series, Vec<Dot>)]) {
        let values = || {
            read.iter()
                .flat_map(|(_, dots)| dots.iter().map(|dot| dot.value))
        };
        let (low, high) = (
            values().fold(f64::INFINITY, f64::min),
            values().fold(f64::NEG_INFINITY, f64::max),
        );
        let (low, high, step) = scale(low, high);
        let y = |value: f64| top + PANEL - PANEL * (value - low) / (high - low);
        let (ink, soft) = (canvas.ink(), canvas.soft());
        let end = WIDTH - RIGHT;
        let mut at = low;
        while at <= high + step / 100.0 {
            canvas.line((LEFT, y(at)), (end, y(at)), &soft, 0.4, Some("2 3"));
            let label = decimal((at * 100.0).round() as u32);
            canvas.text((LEFT - 5.0, y(at)), &label, Text::new(9.0, Anchor::End));
            at += step;
        }
        // Above the highest figure of its axis.
        canvas.text((4.0, top - 8.0), title, Text::new(8.0, Anchor::Start));
        canvas.line((LEFT, top), (LEFT, top + PANEL), &ink, 0.8, None);
        let longest_minutes = f64::from(self.settings.interval_minutes) + 0.5;
        for (row, (series, dots)) in read.iter().enumerate() {
            for pair in dots.windows(2) {
                let apart = minutes(pair[0].at, pair[1].at);
                if self.settings.interval_minutes == 0 || apart <= longest_minutes {
                    canvas.line(
                        (self.x(pair[0].minute), y(pair[0].value)),
                        (self.x(pair[1].minute), y(pair[1].value)),
                        &ink,
                        0.8,
                        None,
                    );
                }
            }
            for dot in dots {
                let place = (self.x(dot.minute), y(dot.value));
                canvas.open(&[("class", "reading")]);
                canvas.title(&self.told(series, dot));
                mark(canvas, place, series.mark);
                if dot.is_outside {
                    canvas.circle(place, 7.0, "none", &ink, 1.4);
                }
                if !dot.is_confirmed {
                    let sign = if dot.is_machine_read { "m" } else { "?" };
                    let at = (place.0 + 6.0, place.1 - 6.0);
                    canvas.text(at, sign, Text::new(7.0, Anchor::Start));
                }
                canvas.close();
            }
            let legend = (end + 14.0, top + 10.0 + row as f64 * 15.0);
            mark(canvas, legend, series.mark);
            canvas.text(
                (legend.0 + 9.0, legend.1),
                series.title,
                Text::new(9.5, Anchor::Start),
            );
        }
    }

    fn told(&self, series: &Series, dot: &Dot) -> String {
        let mut text = format!(
            "{} {} at {:.0} min",
            series.title,
            decimal((dot.value * 100.0).round() as u32),
            dot.minute
        );
        if dot.is_outside {
            text.push_str(", outside its limit");
        }
        if dot.is_machine_read {
            text.push_str(", machine-read");
        } else if !dot.is_confirmed {
            text.push_str(", unconfirmed");
        }
        text
    }

    /// Steps, emergencies and drugs in the order of time; drugs have letters, the rest has figures.
    fn happenings(&self) -> Vec<Happening> {
        let mut found: Vec<(Timestamp, bool, String)> = self
            .record
            .watched()
            .filter_map(|(what, charted)| match what {
                Watched::Drug(entry) => Some((
                    monitoring::given_at(entry, charted),
                    true,
                    format!("{} {}", entry.drug, entry.amount.text()),
                )),
                Watched::Course(_) | Watched::Crisis(_) => Some((charted.at, false, what.text())),
                _ => None,
            })
            .collect();
        found.extend(
            self.record
                .procedures()
                .filter_map(|(procedure, charted)| match procedure {
                    Procedure::AnaesthesiaStarted => Some((charted.at, "anaesthesia started")),
                    Procedure::AnaesthesiaEnded => Some((charted.at, "anaesthesia ended")),
                    Procedure::ProcedureStarted => Some((charted.at, "procedure started")),
                    Procedure::ProcedureEnded => Some((charted.at, "procedure ended")),
                    Procedure::NerveBlock { .. } => Some((charted.at, "nerve block")),
                    _ => None,
                })
                .map(|(at, text)| (at, false, text.to_owned())),
        );
        found.sort();
        let (mut letters, mut figures) = (0_u8, 0);
        found
            .into_iter()
            .map(|(at, is_drug, text)| {
                let sign = if is_drug {
                    letters += 1;
                    char::from(b'A' + (letters - 1) % 26).to_string()
                } else {
                    figures += 1;
                    figures.to_string()
                };
                Happening {
                    minute: minutes(self.from, at),
                    sign,
                    text,
                }
            })
            .collect()
    }

    /// Signs above, words below in two columns; gives the height of the picture.
    fn happen(&self, canvas: &mut Canvas, bottom: f64, happenings: &[Happening]) -> f64 {
        let ink = canvas.ink();
        let mut row_ends = [f64::NEG_INFINITY; 2];
        for happening in happenings {
            let x = self.x(happening.minute.max(0.0));
            // Two rows, and aside where both are full: signs close in time do not cover each other.
            let row = usize::from(x < row_ends[0] + SIGN && row_ends[1] < row_ends[0]);
            let aside = x.max(row_ends[row] + SIGN);
            row_ends[row] = aside;
            let y = TOP - 8.0 - row as f64 * 12.0;
            canvas.line((x, TOP), (x, bottom - BETWEEN), &ink, 0.5, Some("1 3"));
            canvas.line((aside, y + 5.0), (x, TOP), &ink, 0.5, None);
            canvas.text(
                (aside, y),
                &happening.sign,
                Text::new(9.0, Anchor::Middle).bold(),
            );
        }
        let rows = happenings.len().div_ceil(2);
        let list = bottom + 14.0;
        for (at, happening) in happenings.iter().enumerate() {
            let column = (at / rows.max(1)) as f64;
            let y = list + (at % rows.max(1)) as f64 * 12.0;
            let words = format!(
                "{}  {:.0} min: {}",
                happening.sign,
                happening.minute.max(0.0),
                happening.text
            );
            canvas.text(
                (LEFT - 40.0 + column * 370.0, y),
                &words,
                Text::new(9.0, Anchor::Start),
            );
        }
        let foot = list + rows as f64 * 12.0 + 6.0;
        canvas.text(
            (LEFT - 40.0, foot),
            "Ring: outside its limit. Hatched: nothing read for longer than the interval. ? unconfirmed, m machine-read.",
            Text::new(8.0, Anchor::Start),
        );
        foot + 12.0
    }
}

/// Ends and step of an axis that holds both values, with three to six lines.
fn scale(low: f64, high: f64) -> (f64, f64, f64) {
    let span = (high - low).max(1.0);
    let step = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0]
        .into_iter()
        .find(|step| span / step <= 5.0)
        .unwrap_or(100.0);
    let from = ((low / step).floor() * step).max(0.0);
    let to = ((high / step).ceil() * step).max(from + step);
    (from, to, step)
}

fn mark(canvas: &mut Canvas, at: (f64, f64), mark: Mark) {
    let (ink, paper) = (canvas.ink(), canvas.paper());
    let (x, y) = at;
    const R: f64 = 3.6;
    match mark {
        Mark::Disc => canvas.circle(at, R, &ink, &ink, 1.0),
        Mark::Ring => canvas.circle(at, R, &paper, &ink, 1.3),
        Mark::Square => canvas.rect(x - R, y - R, 2.0 * R, 2.0 * R, &ink, &ink),
        Mark::Diamond => canvas.polygon(
            &[
                (x, y - R - 1.0),
                (x + R + 1.0, y),
                (x, y + R + 1.0),
                (x - R - 1.0, y),
            ],
            &paper,
            &ink,
            1.3,
            None,
        ),
        Mark::Up => canvas.polygon(
            &[(x, y - R), (x + R, y + R), (x - R, y + R)],
            &paper,
            &ink,
            1.3,
            None,
        ),
        Mark::Down => canvas.polygon(
            &[(x, y + R), (x + R, y - R), (x - R, y - R)],
            &paper,
            &ink,
            1.3,
            None,
        ),
        Mark::Cross => {
            canvas.line((x - R, y - R), (x + R, y + R), &ink, 1.5, None);
            canvas.line((x - R, y + R), (x + R, y - R), &ink, 1.5, None);
        }
    }
}
