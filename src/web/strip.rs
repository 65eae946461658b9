//! The strip of the page: the last vital signs with their time, where they go, and how they stand to their limits.
//!
//! Invariant: a value is never shown without its age; an arrow compares two readings and nothing else.

use serde::Serialize;

use crate::record::monitoring::{self, Stand};
use crate::record::{Record, Standing};
use crate::terms::limits::Side;
use crate::terms::vital::VitalSign;
use crate::terms::watch::Watched;
use crate::terms::watch_settings::WatchSettings;

#[derive(Serialize)]
pub(super) struct StripOut {
    /// When the anaesthetic began; none before.
    from_ms: Option<i64>,
    over_ms: Option<i64>,
    interval_minutes: u32,
    /// Newest routine reading.
    read_ms: Option<i64>,
    signs: Vec<SignOut>,
    drugs: Vec<LineOut>,
    totals: Vec<String>,
    course: Vec<LineOut>,
    /// Controlled drugs without a witness.
    unwitnessed: usize,
}

#[derive(Serialize)]
struct SignOut {
    sign: VitalSign,
    title: &'static str,
    value: String,
    unit: &'static str,
    at_ms: i64,
    /// up, down, same; none where there is no reading before.
    arrow: Option<&'static str>,
    /// inside, off, low, high, low_again, high_again.
    stand: &'static str,
    is_confirmed: bool,
    is_machine_read: bool,
    entry: u64,
}

#[derive(Serialize)]
struct LineOut {
    entry: u64,
    text: String,
    at_ms: i64,
    is_confirmed: bool,
    is_emergency: bool,
    /// Given of the drug log: what can have a batch.
    is_drug: bool,
    is_controlled: bool,
    /// Name of the drug.
    drug: Option<String>,
    batch: Option<String>,
}

/// None where nothing of an anaesthetic is recorded.
pub(super) fn of(record: &Record, settings: &WatchSettings) -> Option<StripOut> {
    let span = monitoring::span(record);
    if span.is_none() && record.watched().next().is_none() {
        return None;
    }
    let points = monitoring::readings(record);
    let own = settings.limits();
    let signs = VitalSign::ALL
        .into_iter()
        .filter_map(|sign| {
            let mut of_sign = points
                .iter()
                .rev()
                .filter(|point| point.reading.sign == sign);
            let newest = of_sign.next()?;
            let arrow = of_sign.next().and_then(|before| {
                let value = |reading: &crate::terms::Reading| {
                    reading
                        .mean_mmhg()
                        .map(|(mean, _)| u32::from(mean) * 100)
                        .or_else(|| reading.parts().first().map(|(_, value)| *value))
                };
                let (now, then) = (value(&newest.reading)?, value(&before.reading)?);
                Some(match now.cmp(&then) {
                    std::cmp::Ordering::Greater => "up",
                    std::cmp::Ordering::Less => "down",
                    std::cmp::Ordering::Equal => "same",
                })
            });
            let stand = monitoring::stands(record, &own, sign)
                .last()
                .map_or(Stand::Inside, |(_, stand)| *stand);
            Some(SignOut {
                sign,
                title: sign.title(),
                value: newest.reading.value(),
                unit: sign.unit(),
                at_ms: newest.at.as_millisecond(),
                arrow,
                stand: match stand {
                    Stand::Inside => "inside",
                    Stand::OffTarget(_) => "off",
                    Stand::Watch(Side::Below) => "low",
                    Stand::Watch(Side::Above) => "high",
                    Stand::Alert(Side::Below) => "low_again",
                    Stand::Alert(Side::Above) => "high_again",
                },
                is_confirmed: newest.charted.standing == Standing::Confirmed,
                is_machine_read: newest.charted.is_machine_read(),
                entry: newest.charted.number,
            })
        })
        .collect();
    let lines = |wanted: fn(&Watched) -> bool| {
        record
            .watched()
            .filter(|(what, _)| wanted(what))
            .map(|(what, charted)| LineOut {
                entry: charted.number,
                text: what.text(),
                at_ms: match what {
                    Watched::Drug(entry) => monitoring::given_at(entry, charted),
                    _ => charted.at,
                }
                .as_millisecond(),
                is_confirmed: charted.standing == Standing::Confirmed,
                is_emergency: matches!(what, Watched::Crisis(_)),
                is_drug: matches!(what, Watched::Drug(_)),
                is_controlled: matches!(what, Watched::Drug(entry) if entry.is_controlled),
                drug: match what {
                    Watched::Drug(entry) => Some(entry.drug.clone()),
                    _ => None,
                },
                batch: match what {
                    Watched::Drug(entry) => {
                        monitoring::batch_of(record, entry, charted.number).map(str::to_owned)
                    }
                    _ => None,
                },
            })
            .collect()
    };
    Some(StripOut {
        from_ms: span.map(|(from, _)| from.as_millisecond()),
        over_ms: span
            .and_then(|(_, over)| over)
            .map(|at| at.as_millisecond()),
        interval_minutes: settings.interval_minutes,
        read_ms: points
            .iter()
            .filter(|point| point.reading.sign.is_routine())
            .map(|point| point.at.as_millisecond())
            .max(),
        signs,
        drugs: lines(|what| {
            matches!(
                what,
                Watched::Drug(_)
                    | Watched::Wasted { .. }
                    | Watched::Witnessed { .. }
                    | Watched::Batch { .. }
            )
        }),
        totals: monitoring::sums(record)
            .iter()
            .map(|sum| {
                let dose = sum
                    .dose_ug
                    .map_or_else(|| "dose unknown".into(), crate::terms::drug::dose_text);
                format!("{} {dose}", sum.drug)
            })
            .collect(),
        course: lines(|what| matches!(what, Watched::Course(_) | Watched::Crisis(_))),
        unwitnessed: monitoring::unwitnessed(record).len(),
    })
}
