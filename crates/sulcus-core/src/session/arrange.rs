//! Whose finding it is, where one breath names findings and teeth.
//!
//! Invariant: the order of words in one breath never decides silently. A value is entered without a question only
//! where one tooth alone can be meant: the tooth at hand where no number was said after it; the number said before it,
//! where each number of the breath is followed by what it is for; the one number said after it, where the breath has
//! no other. All else is asked, or refused where even the question would be long.

use crate::grammar::Intent;
use crate::grammar::intent::{Question, Scope};
use crate::terms::ToothNumber;

/// What to do with the intents of one breath.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Arranged {
    /// In this order each value belongs to the tooth before it.
    Clear(Vec<Intent>),
    /// Two teeth can be meant; the intents for the one answer and for the other.
    Either(Doubt),
    /// More than one thing is unclear: to be said again, each tooth before its findings.
    Unclear,
}

/// Values that can be of either of two teeth.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Doubt {
    pub one: (ToothNumber, Vec<Intent>),
    pub other: (ToothNumber, Vec<Intent>),
}

/// Whether it speaks of the tooth at hand, so that a number said beside it matters.
pub(super) fn is_of_tooth_at_hand(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::RecordMillimetres { .. }
            | Intent::RecordBleeding { .. }
            | Intent::RecordFurcation { .. }
            | Intent::RecordForTooth { .. }
            | Intent::RecordAtRoot { .. }
            | Intent::RecordNormal(Scope::ThisTooth)
            | Intent::RecordAbsent(Scope::ThisTooth)
            | Intent::Decide { .. }
            | Intent::DoToTooth(_)
            | Intent::ImplantBatch { .. }
            | Intent::Surgery(_)
            | Intent::TakeNote
            | Intent::Lacking { .. }
            | Intent::Strike(None)
            | Intent::StrikeValues(_)
            | Intent::Ask(Question::Summary | Question::Compare(None))
    )
}

/// Said between a finding and a number, it shows that the finding was complete.
fn is_full_stop(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::NextTooth
            | Intent::PreviousTooth
            | Intent::Confirm
            | Intent::ConfirmEverything
            | Intent::FinishVisit
    )
}

/// Findings after a tooth number, up to the next.
struct Stretch {
    tooth: Option<ToothNumber>,
    intents: Vec<Intent>,
}

impl Stretch {
    fn has_values(&self) -> bool {
        self.intents.iter().any(is_of_tooth_at_hand)
    }

    fn told(&self) -> impl Iterator<Item = Intent> + '_ {
        self.tooth
            .map(Intent::ChooseTooth)
            .into_iter()
            .chain(self.intents.iter().cloned())
    }
}

/// `at_hand`: the tooth chosen before this breath.
pub(super) fn arrange(intents: &[Intent], at_hand: Option<ToothNumber>) -> Arranged {
    let parts: Vec<&[Intent]> = intents.split_inclusive(is_full_stop).collect();
    if parts.len() == 1 {
        return of_part(intents, at_hand);
    }
    // With a full stop inside, only what is clear part by part is taken.
    let mut whole = Vec::new();
    for (at, part) in parts.iter().enumerate() {
        // What is at hand after "next" is not known here; that there is one is.
        let is_at_hand_unknown = at > 0 && is_between_values(part);
        match of_part(part, at_hand) {
            Arranged::Clear(clear) if !is_at_hand_unknown => whole.extend(clear),
            _ => return Arranged::Unclear,
        }
    }
    Arranged::Clear(whole)
}

/// A value, a number, a value: of the tooth at hand, or of the number.
fn is_between_values(part: &[Intent]) -> bool {
    let number = part
        .iter()
        .position(|intent| matches!(intent, Intent::ChooseTooth(_)));
    number.is_some_and(|number| {
        let (before, after) = part.split_at(number);
        before.iter().any(is_of_tooth_at_hand) && after.iter().any(is_of_tooth_at_hand)
    })
}

fn of_part(intents: &[Intent], at_hand: Option<ToothNumber>) -> Arranged {
    let mut stretches = vec![Stretch {
        tooth: None,
        intents: Vec::new(),
    }];
    for intent in intents {
        match (intent, stretches.last_mut()) {
            (Intent::ChooseTooth(tooth), _) => stretches.push(Stretch {
                tooth: Some(*tooth),
                intents: Vec::new(),
            }),
            (other, Some(last)) => last.intents.push(other.clone()),
            (_, None) => {}
        }
    }
    let clear = || Arranged::Clear(intents.to_vec());
    let [first, named @ ..] = stretches.as_slice() else {
        return clear();
    };
    let Some((last, before_last)) = named.split_last() else {
        return clear();
    };
    let in_doubt: Vec<&Stretch> = before_last.iter().filter(|s| s.has_values()).collect();
    match (first.has_values(), last.has_values()) {
        // Each number is followed by what it is for, or nothing stands before a number.
        (false, true) => clear(),
        (false, false) if in_doubt.is_empty() => clear(),
        // "tooth 108 mobility two tooth 104": of 108, or of 104?
        (false, false) => match (before_last, in_doubt.as_slice()) {
            ([.., of], [doubtful]) if of.tooth == doubtful.tooth => {
                let (Some(one), Some(other)) = (doubtful.tooth, last.tooth) else {
                    return Arranged::Unclear;
                };
                if one == other {
                    return clear();
                }
                Arranged::Either(Doubt {
                    one: (one, intents.to_vec()),
                    other: (
                        other,
                        first
                            .told()
                            .chain([Intent::ChooseTooth(other)])
                            .chain(doubtful.intents.iter().cloned())
                            .chain(last.intents.iter().cloned())
                            .collect(),
                    ),
                })
            }
            _ => Arranged::Unclear,
        },
        // "mobility two tooth 104": of 104.
        (true, false) if before_last.is_empty() => Arranged::Clear(last_first(first, last)),
        // "mobility two tooth 104 furcation one": mobility of the tooth at hand, or of 104?
        (true, true) if before_last.is_empty() => match (at_hand, last.tooth) {
            (Some(one), Some(other)) if one != other => Arranged::Either(Doubt {
                one: (
                    one,
                    [Intent::ChooseTooth(one)]
                        .into_iter()
                        .chain(intents.iter().cloned())
                        .collect(),
                ),
                other: (other, last_first(first, last)),
            }),
            _ => Arranged::Clear(last_first(first, last)),
        },
        (true, _) => Arranged::Unclear,
    }
}

/// The tooth, then what was said before it, then what was said after it.
fn last_first(before: &Stretch, named: &Stretch) -> Vec<Intent> {
    named
        .tooth
        .map(Intent::ChooseTooth)
        .into_iter()
        .chain(before.intents.iter().cloned())
        .chain(named.intents.iter().cloned())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terms::{Kind, Value};
    use proptest::prelude::*;

    fn tooth(number: u16) -> ToothNumber {
        ToothNumber::new(number).expect("a tooth")
    }

    fn mobility(grade: u8) -> Intent {
        Intent::RecordForTooth {
            kind: Kind::Mobility,
            value: Value::Grade(grade),
        }
    }

    fn choose(number: u16) -> Intent {
        Intent::ChooseTooth(tooth(number))
    }

    #[test]
    fn a_finding_before_the_only_number_is_of_that_number() {
        let said = [mobility(2), choose(104)];
        assert_eq!(
            arrange(&said, Some(tooth(108))),
            Arranged::Clear(vec![choose(104), mobility(2)])
        );
    }

    #[test]
    fn numbers_each_with_their_findings_are_clear() {
        let said = [choose(108), mobility(2), choose(104), mobility(1)];
        assert_eq!(
            arrange(&said, Some(tooth(101))),
            Arranged::Clear(said.to_vec())
        );
    }

    #[test]
    fn next_after_a_finding_leaves_it_where_it_was() {
        let said = [mobility(2), Intent::NextTooth];
        assert_eq!(
            arrange(&said, Some(tooth(108))),
            Arranged::Clear(said.to_vec())
        );
    }

    fn breath() -> impl Strategy<Value = Vec<Intent>> {
        let teeth = prop_oneof![Just(101u16), Just(104), Just(108), Just(309)];
        proptest::collection::vec(
            prop_oneof![
                teeth.prop_map(choose),
                (0u8..=3).prop_map(mobility),
                Just(Intent::NextTooth),
            ],
            1..6,
        )
    }

    /// The tooth of each value, as the intents are run.
    fn owners(intents: &[Intent], at_hand: ToothNumber) -> Vec<Option<ToothNumber>> {
        let mut now = Some(at_hand);
        let mut owners = Vec::new();
        for intent in intents {
            match intent {
                Intent::ChooseTooth(tooth) => now = Some(*tooth),
                // Some tooth that was not said.
                Intent::NextTooth => now = None,
                _ => owners.push(now),
            }
        }
        owners
    }

    proptest! {
        /// What is entered unasked is never of the tooth that was at hand before, where a number follows in the breath;
        /// and where it stands between two numbers it is of the one before only if the last number has its own.
        #[test]
        fn order_never_decides_silently(said in breath(), hand in prop_oneof![Just(101u16), Just(206)]) {
            let hand = tooth(hand);
            let Arranged::Clear(run) = arrange(&said, Some(hand)) else { return Ok(()); };
            // Nothing is lost or made up.
            prop_assert_eq!(run.len(), said.len());
            let owners = owners(&run, hand);
            let mut which = 0;
            for (at, intent) in said.iter().enumerate() {
                if !matches!(intent, Intent::RecordForTooth { .. }) { continue; }
                let owner = owners[which];
                which += 1;
                let until = said[at..].iter().position(is_full_stop).map_or(said.len(), |p| at + p);
                let from = said[..at].iter().rposition(is_full_stop).map_or(0, |p| p + 1);
                let after: Vec<ToothNumber> = said[at..until].iter().filter_map(chosen).collect();
                let before: Vec<ToothNumber> = said[from..at].iter().filter_map(chosen).collect();
                match (before.last(), after.first()) {
                    (None, Some(next)) => prop_assert_eq!(owner, Some(*next), "{:?}", said),
                    (Some(of), Some(_)) => {
                        prop_assert_eq!(owner, Some(*of));
                        // The same number twice leaves no doubt.
                        let is_same = after.first() == Some(of);
                        let is_followed = is_same || matches!(said[until - 1], Intent::RecordForTooth { .. });
                        prop_assert!(is_followed, "{:?}", said);
                    }
                    (Some(of), None) => prop_assert_eq!(owner, Some(*of)),
                    (None, None) => {}
                }
            }
        }
    }

    fn chosen(intent: &Intent) -> Option<ToothNumber> {
        match intent {
            Intent::ChooseTooth(tooth) => Some(*tooth),
            _ => None,
        }
    }
}
