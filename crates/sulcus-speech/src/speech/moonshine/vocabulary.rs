//! Which tokens may come next: the model's vocabulary as a tree of characters, walked together with a [`Spelling`].
//! Knows no probabilities.
//!
//! Invariant: a token is allowed exactly where its whole text, letters in lower case, leads somewhere in the spelling.

use std::collections::HashMap;
use std::sync::Arc;

use super::spelling::{Place, Position, Spelling};
use super::tokenizer::{FIRST_TEXT, Tokenizer};

/// The vocabulary as a tree; made once for a model.
pub struct Vocabulary {
    nodes: Vec<Node>,
}

#[derive(Default)]
struct Node {
    /// Tokens whose text ends here: they differ by capitals only.
    tokens: Vec<u32>,
    children: Vec<(u8, u32)>,
}

impl Vocabulary {
    pub fn new(tokenizer: &Tokenizer) -> Self {
        let mut nodes = vec![Node::default()];
        for token in FIRST_TEXT..tokenizer.count() as u32 {
            let piece = tokenizer.piece(token);
            if piece.is_empty() || !piece.is_ascii() {
                continue;
            }
            let mut node = 0;
            for &byte in piece {
                let byte = byte.to_ascii_lowercase();
                let found = nodes[node]
                    .children
                    .iter()
                    .find(|&&(b, _)| b == byte)
                    .map(|&(_, child)| child as usize);
                node = found.unwrap_or_else(|| {
                    nodes.push(Node::default());
                    let child = nodes.len() - 1;
                    nodes[node].children.push((byte, child as u32));
                    child
                });
            }
            nodes[node].tokens.push(token);
        }
        Self { nodes }
    }

    /// Tokens that may follow `from`.
    fn allowed(&self, spelling: &Spelling, from: &[Position]) -> Vec<u32> {
        let mut tokens = Vec::new();
        self.walk(spelling, 0, from, &mut tokens);
        tokens.sort_unstable();
        tokens
    }

    fn walk(&self, spelling: &Spelling, node: usize, from: &[Position], tokens: &mut Vec<u32>) {
        let mut next = Vec::new();
        for &(byte, child) in &self.nodes[node].children {
            spelling.step(from, byte, None, &mut next);
            if next.is_empty() {
                continue;
            }
            tokens.extend_from_slice(&self.nodes[child as usize].tokens);
            let reached = std::mem::take(&mut next);
            self.walk(spelling, child as usize, &reached, tokens);
            next = reached;
        }
    }
}

/// The allowed tokens of each place met so far, for one word graph.
pub struct Masks {
    spelling: Spelling,
    known: HashMap<Box<[Place]>, Arc<[u32]>>,
    key: Vec<Place>,
}

/// Masks kept for one graph; far beyond what a grammar needs, so that memory stays bounded whatever is said.
const MASKS_MAX: usize = 50_000;

impl Masks {
    pub fn new(spelling: Spelling) -> Self {
        Self {
            spelling,
            known: HashMap::new(),
            key: Vec::new(),
        }
    }

    pub fn spelling(&self) -> &Spelling {
        &self.spelling
    }

    /// Tokens that may follow, sorted; worked out on the first call for these places.
    pub fn allowed(&mut self, vocabulary: &Vocabulary, at: &[Position]) -> Arc<[u32]> {
        self.key.clear();
        self.key.extend(at.iter().map(|position| position.place));
        self.key.sort_unstable();
        if let Some(tokens) = self.known.get(self.key.as_slice()) {
            return Arc::clone(tokens);
        }
        if self.known.len() >= MASKS_MAX {
            self.known.clear();
        }
        let tokens: Arc<[u32]> = vocabulary.allowed(&self.spelling, at).into();
        self.known
            .insert(self.key.as_slice().into(), Arc::clone(&tokens));
        tokens
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::closed_graph as graph;
    use crate::speech::moonshine::tokenizer::tests::tokenizer;

    /// Against the plain way: every token's text, byte by byte.
    #[test]
    fn exactly_the_tokens_that_lead_on_are_allowed() {
        let pieces = [
            " ", " F", " four", " Four", "our", "4", "1", " fo", "r", ",", ", ", "-", ".", " x",
            "z", "!", " 4", "four one",
        ];
        let tokenizer = tokenizer(&pieces);
        let vocabulary = Vocabulary::new(&tokenizer);
        let mut masks = Masks::new(Spelling::new(Arc::new(graph::digits())));
        let after = |text: &str, masks: &Masks| {
            let mut positions = vec![Spelling::begin()];
            for byte in text.bytes() {
                let mut next = Vec::new();
                let byte = byte.to_ascii_lowercase();
                masks.spelling().step(&positions, byte, None, &mut next);
                positions = next;
            }
            positions
        };
        for text in [
            "", " ", " F", " Four", " 4", " 41", " 4,", " 4, ", " four.", " zero-fo", " one!",
        ] {
            let from = after(text, &masks);
            assert!(!from.is_empty(), "{text}");
            let expected: Vec<u32> = (FIRST_TEXT..tokenizer.count() as u32)
                .filter(|&token| {
                    let piece = String::from_utf8(tokenizer.piece(token).to_vec()).unwrap();
                    !after(&format!("{text}{piece}"), &masks).is_empty()
                })
                .collect();
            assert_eq!(
                *masks.allowed(&vocabulary, &from),
                expected,
                "after {text:?}"
            );
            // The second time it comes from the store.
            assert_eq!(*masks.allowed(&vocabulary, &from), expected);
        }
    }
}
