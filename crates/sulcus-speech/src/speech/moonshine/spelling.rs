//! What text may stand for a sentence of a word graph, character by character.
//! Walks text only; knows nothing of tokens or probabilities.
//!
//! Invariant: a text that is let through to its end reads as one value only. "12" is refused where both "twelve" and
//! "one two" may be said, because nothing in the text would tell which was; both still have their words.

use std::cell::OnceCell;
use std::sync::Arc;

use crate::speech::word_graph::{StateIndex, WordGraph, WordIndex};

/// Words read so far, as a link to the last one in a [`Histories`].
pub type HistoryIndex = u32;

/// Words of many texts that share their beginnings.
#[derive(Default)]
pub struct Histories {
    links: Vec<(HistoryIndex, WordIndex)>,
}

impl Histories {
    /// No word yet.
    pub const EMPTY: HistoryIndex = 0;

    fn push(&mut self, before: HistoryIndex, word: WordIndex) -> HistoryIndex {
        self.links.push((before, word));
        self.links.len() as HistoryIndex
    }

    /// The words from first to last.
    pub fn words(&self, mut history: HistoryIndex) -> Vec<WordIndex> {
        let mut words = Vec::new();
        while history != Self::EMPTY {
            let (before, word) = self.links[history as usize - 1];
            words.push(word);
            history = before;
        }
        words.reverse();
        words
    }
}

/// One way to write a word.
#[derive(Clone)]
struct Way {
    word: WordIndex,
    target: StateIndex,
    text: Box<[u8]>,
    is_figure: bool,
}

impl Way {
    /// May stand unspaced beside a figure: another figure, a unit ("3mm"), a letter ("m2").
    fn joins(&self) -> bool {
        self.is_figure || self.text.len() <= 2
    }
}

/// Figures written without a space so far, to find texts that could mean two things.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Run {
    length: u8,
    /// Bit n: a value ends after n + 1 figures.
    seams: u32,
}

/// What stands left of a word's end: decides what may follow unspaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Left {
    Figure,
    /// One or two letters, or a mark such as "#".
    Short,
    Word,
}

/// One place in the text, before the next character.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Place {
    /// Nothing written yet.
    Begin,
    /// A word must start.
    Ready(StateIndex),
    /// Inside the way `way` of `state`, `at` bytes written.
    Inside(StateIndex, u16, u8, Run),
    /// A word is complete.
    Complete(StateIndex, Left, Run),
    /// After a comma: a space must follow.
    Comma(StateIndex),
    /// After a full stop: the end, or a space.
    Stop(StateIndex),
    /// After "!" or "?": the end.
    Done,
}

/// A place and the words that led there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Position {
    pub place: Place,
    pub history: HistoryIndex,
}

/// Where a step puts what it finds.
struct Output<'a> {
    /// Takes completed words, where anyone wants them.
    histories: Option<&'a mut Histories>,
    to: &'a mut Vec<Position>,
}

/// Figures in a row beyond this are refused: no value is that long, and [`Run::seams`] has 32 bits.
const RUN_FIGURES_MAX: u8 = 20;

/// A word graph made ready to be walked by characters.
pub struct Spelling {
    graph: Arc<WordGraph>,
    /// For each graph state the ways of its words, made when the state is first reached: few of a large graph's are.
    ways: Vec<OnceCell<Vec<Way>>>,
    /// Ambiguous texts are let through; used to ask whether a free text could be of the grammar at all.
    lax: bool,
}

impl Spelling {
    pub fn new(graph: Arc<WordGraph>) -> Self {
        let ways = vec![OnceCell::new(); graph.states.len()];
        Self {
            graph,
            ways,
            lax: false,
        }
    }

    /// The same, but a text that could mean two things is let through.
    pub fn new_lax(graph: Arc<WordGraph>) -> Self {
        Self {
            lax: true,
            ..Self::new(graph)
        }
    }

    fn ways(&self, state: StateIndex) -> &[Way] {
        self.ways[state as usize].get_or_init(|| ways_of(&self.graph, state as usize))
    }

    /// Where a sentence begins.
    pub fn begin() -> Position {
        Position {
            place: Place::Begin,
            history: Histories::EMPTY,
        }
    }

    /// All places after one more byte (letters in lower case). `to` is cleared first; empty means that the text is
    /// of no sentence. With `histories`, completed words are recorded there.
    pub fn step(
        &self,
        from: &[Position],
        byte: u8,
        histories: Option<&mut Histories>,
        to: &mut Vec<Position>,
    ) {
        to.clear();
        let mut out = Output { histories, to };
        let closable = self.lax || !is_ambiguous(from);
        for position in from {
            match position.place {
                Place::Begin if byte == b' ' => {
                    add(out.to, Place::Ready(WordGraph::START), position.history);
                }
                Place::Begin => {
                    self.start_words(WordGraph::START, byte, None, position.history, &mut out);
                }
                Place::Ready(state) => {
                    self.start_words(state, byte, None, position.history, &mut out);
                }
                Place::Inside(state, way, at, run) => {
                    let text = &self.ways(state)[way as usize].text;
                    if text[at as usize] == byte {
                        self.advance((state, way, at + 1), run, position.history, &mut out);
                    }
                }
                Place::Complete(state, left, run) => {
                    self.after_word(
                        state,
                        (left, run, closable),
                        byte,
                        position.history,
                        &mut out,
                    );
                }
                Place::Comma(state) | Place::Stop(state) => {
                    if byte == b' ' && self.goes_on(state) {
                        add(out.to, Place::Ready(state), position.history);
                    }
                }
                Place::Done => {}
            }
        }
        settle_runs(to);
    }

    /// The words, if the text may end here.
    pub fn end(&self, at: &[Position]) -> Option<HistoryIndex> {
        self.ends(at).next()
    }

    fn ends(&self, at: &[Position]) -> impl Iterator<Item = HistoryIndex> {
        let closable = self.lax || !is_ambiguous(at);
        at.iter()
            .filter(move |position| match position.place {
                Place::Complete(state, left, _) => {
                    self.is_final(state) && (closable || left != Left::Figure)
                }
                Place::Stop(state) => self.is_final(state),
                Place::Done => true,
                _ => false,
            })
            .map(|position| position.history)
    }

    /// The sentences that a whole text can be read as; of those of equal value the first only.
    pub fn readings(&self, text: &str) -> Vec<Vec<WordIndex>> {
        let mut histories = Histories::default();
        let mut positions = vec![Self::begin()];
        let mut next = Vec::new();
        for byte in text.bytes() {
            self.step(
                &positions,
                byte.to_ascii_lowercase(),
                Some(&mut histories),
                &mut next,
            );
            std::mem::swap(&mut positions, &mut next);
        }
        self.ends(&positions)
            .map(|history| histories.words(history))
            .collect()
    }

    fn is_final(&self, state: StateIndex) -> bool {
        self.graph.states[state as usize].is_final
    }

    fn goes_on(&self, state: StateIndex) -> bool {
        !self.ways(state).is_empty()
    }

    fn after_word(
        &self,
        state: StateIndex,
        (left, run, closable): (Left, Run, bool),
        byte: u8,
        history: HistoryIndex,
        out: &mut Output,
    ) {
        let closes = closable || left != Left::Figure;
        let place = match byte {
            b' ' | b'-' if self.goes_on(state) => Some(Place::Ready(state)),
            b',' if self.goes_on(state) => Some(Place::Comma(state)),
            b'.' if self.goes_on(state) || self.is_final(state) => Some(Place::Stop(state)),
            b'!' | b'?' if self.is_final(state) => Some(Place::Done),
            _ => None,
        };
        if let Some(place) = place {
            if closes {
                add(out.to, place, history);
            }
            return;
        }
        if left != Left::Word {
            self.start_words(state, byte, Some((left, run, closes)), history, out);
        }
    }

    /// Starts every word of `state` that begins with `byte`; unspaced beside what stands left, if given.
    fn start_words(
        &self,
        state: StateIndex,
        byte: u8,
        beside: Option<(Left, Run, bool)>,
        history: HistoryIndex,
        out: &mut Output,
    ) {
        for (index, way) in self.ways(state).iter().enumerate() {
            if way.text[0] != byte {
                continue;
            }
            let run = match beside {
                None => Run::default(),
                Some((Left::Figure, run, _)) if way.is_figure => run,
                // Two short words do not join: "mm" is no "m" and "m".
                Some((Left::Figure, _, closes)) if way.joins() && closes => Run::default(),
                Some((Left::Short, _, _)) if way.is_figure => Run::default(),
                Some(_) => continue,
            };
            self.advance((state, index as u16, 1), run, history, out);
        }
    }

    fn advance(
        &self,
        (state, index, at): (StateIndex, u16, u8),
        run: Run,
        history: HistoryIndex,
        out: &mut Output,
    ) {
        let way = &self.ways(state)[index as usize];
        if usize::from(at) < way.text.len() {
            add(out.to, Place::Inside(state, index, at, run), history);
            return;
        }
        let (left, run) = if way.is_figure {
            let length = run.length + at;
            if length > RUN_FIGURES_MAX {
                return;
            }
            let seam = if self.graph.states[way.target as usize].inside_number {
                0
            } else {
                1 << (length - 1)
            };
            let seams = run.seams | seam;
            (Left::Figure, Run { length, seams })
        } else if way.joins() {
            (Left::Short, Run::default())
        } else {
            (Left::Word, Run::default())
        };
        let history = match &mut out.histories {
            Some(histories) => histories.push(history, way.word),
            None => history,
        };
        add(out.to, Place::Complete(way.target, left, run), history);
    }
}

/// The first of two equal places wins: the same text read as "oh" and as "zero" is one value.
fn add(to: &mut Vec<Position>, place: Place, history: HistoryIndex) {
    if to.iter().all(|position| position.place != place) {
        to.push(Position { place, history });
    }
}

/// Whether the figures just written could be two different rows of values.
fn is_ambiguous(positions: &[Position]) -> bool {
    let mut first = None;
    for position in positions {
        if let Place::Complete(_, Left::Figure, run) = position.place
            && *first.get_or_insert(run.seams) != run.seams
        {
            return true;
        }
    }
    false
}

/// Forgets what is the same in all readings of the current figures, so that equal futures are equal places.
fn settle_runs(positions: &mut [Position]) {
    let run_of = |place: &Place| match *place {
        Place::Complete(_, Left::Figure, run) => Some(run),
        Place::Inside(_, _, _, run) => Some(run),
        _ => None,
    };
    let mut runs = positions
        .iter()
        .filter_map(|position| run_of(&position.place));
    let Some(first) = runs.next() else { return };
    let mut shortest = first.length;
    for run in runs {
        if run.seams != first.seams {
            return;
        }
        shortest = shortest.min(run.length);
    }
    for position in positions {
        match &mut position.place {
            Place::Complete(_, Left::Figure, run) | Place::Inside(_, _, _, run) => {
                *run = Run {
                    length: run.length - shortest,
                    seams: 0,
                };
            }
            _ => {}
        }
    }
}

/// The ways to write each word that may follow `state`, without those that could be another word there.
fn ways_of(graph: &WordGraph, state: usize) -> Vec<Way> {
    let arcs = &graph.states[state].arcs;
    let mut ways: Vec<Way> = Vec::new();
    let mut push = |word: WordIndex, target: StateIndex, text: &str, is_figure: bool| {
        let text = text.to_ascii_lowercase().into_bytes().into_boxed_slice();
        // Canonical texts come first, so a spelling never takes another word's own text; but for a number's:
        // "two" may stand for "tooth", and what follows tells which. Where it does not, both readings are kept,
        // and neither is believed.
        let taken = !is_figure
            && ways.iter().any(|way| {
                !way.is_figure
                    && way.text == text
                    && (way.word == word || graph.words[way.word as usize].figure.is_none())
            });
        if !text.is_empty() && text.len() < usize::from(u8::MAX) && !taken {
            ways.push(Way {
                word,
                target,
                text,
                is_figure,
            });
        }
    };
    for &(word, target) in arcs {
        push(word, target, &graph.words[word as usize].text, false);
    }
    for &(word, target) in arcs {
        for spelling in &graph.words[word as usize].spellings {
            push(word, target, spelling, false);
        }
    }
    for &(word, target) in arcs {
        if let Some(figure) = &graph.words[word as usize].figure {
            push(word, target, figure, true);
        }
    }
    ways
}

#[cfg(test)]
mod tests;
