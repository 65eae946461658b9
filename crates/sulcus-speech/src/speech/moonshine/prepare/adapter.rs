//! Changes of low rank to the network's matrices, learnt from the sentences of the grammar (`bench/adapt/`).
//! Adds them up; knows nothing of graphs.
//!
//! Invariant: the same adapter on the same weights gives the same numbers, bit for bit, on every machine: the sums are
//! made one after another in 32-bit floats, and no library makes them.

use std::collections::HashMap;

use sha2::{Digest, Sha256};

const MARK: &[u8] = b"sulcus-adapter 1\n";

/// The adapter that the program ships.
const BUILT_IN: &[u8] = include_bytes!("../vocabulary.adapter");

/// Letters of the digest that name an adapter.
const NAME_LETTERS: usize = 12;

/// An adapter file, read.
pub struct Adapter {
    rank: usize,
    scale: f32,
    layers: HashMap<String, Layer>,
    digest: String,
    grammar: String,
}

/// The change of one matrix of `outputs` rows: scale * up * down.
struct Layer {
    inputs: usize,
    outputs: usize,
    /// rank x inputs.
    down: Vec<f32>,
    /// outputs x rank.
    up: Vec<f32>,
}

#[derive(serde::Deserialize)]
struct Head {
    made_from: MadeFrom,
    scale: f32,
    rank: usize,
    layers: Vec<HeadLayer>,
}

/// What it was made from; the file tells more, for people.
#[derive(serde::Deserialize)]
struct MadeFrom {
    grammar: String,
}

#[derive(serde::Deserialize)]
struct HeadLayer {
    name: String,
    #[serde(rename = "in")]
    inputs: usize,
    #[serde(rename = "out")]
    outputs: usize,
}

impl Adapter {
    pub fn built_in() -> Result<Self, String> {
        Self::parse(BUILT_IN)
    }

    /// Reads a file: a mark, a line of JSON, then the matrices as 16-bit floats.
    pub fn parse(bytes: &[u8]) -> Result<Self, String> {
        let rest = bytes
            .strip_prefix(MARK)
            .ok_or("it is no adapter of this version")?;
        let end = rest
            .iter()
            .position(|&byte| byte == b'\n')
            .ok_or("it has no head")?;
        let (head, mut data) = (&rest[..end], &rest[end + 1..]);
        let head: Head = serde_json::from_slice(head).map_err(|e| format!("its head: {e}"))?;
        let mut take = |count: usize| -> Result<Vec<f32>, String> {
            let bytes = data
                .split_off(..count * 2)
                .ok_or_else(|| "it is cut short".to_owned())?;
            Ok(bytes
                .chunks_exact(2)
                .map(|pair| float_of_half(u16::from_le_bytes([pair[0], pair[1]])))
                .collect())
        };
        let mut layers = HashMap::new();
        for layer in head.layers {
            let (inputs, outputs) = (layer.inputs, layer.outputs);
            let down = take(head.rank * inputs)?;
            let up = take(outputs * head.rank)?;
            layers.insert(
                layer.name,
                Layer {
                    inputs,
                    outputs,
                    down,
                    up,
                },
            );
        }
        if !data.is_empty() {
            return Err("it is longer than its head says".to_owned());
        }
        let digest = Sha256::digest(bytes)
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect();
        Ok(Self {
            rank: head.rank,
            scale: head.scale,
            layers,
            digest,
            grammar: head.made_from.grammar,
        })
    }

    /// The first letters of the file's SHA-256.
    pub fn name(&self) -> &str {
        &self.digest[..NAME_LETTERS]
    }

    /// The commit whose grammar it was trained with.
    pub fn grammar(&self) -> &str {
        &self.grammar
    }

    /// Names of the matrices that it changes.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.layers.keys().map(String::as_str)
    }

    /// Adds the change of the matrix `name` (`outputs` rows of `inputs`) to `weights`; false where there is none.
    pub fn add(
        &self,
        name: &str,
        outputs: usize,
        inputs: usize,
        weights: &mut [f32],
    ) -> Result<bool, String> {
        let Some(layer) = self.layers.get(name) else {
            return Ok(false);
        };
        if (layer.outputs, layer.inputs) != (outputs, inputs) {
            return Err(format!(
                "the adapter's {name} is {} x {}, the model's {outputs} x {inputs}",
                layer.outputs, layer.inputs
            ));
        }
        let mut change = vec![0.0f32; inputs];
        for (row, up) in weights
            .chunks_exact_mut(inputs)
            .zip(layer.up.chunks_exact(self.rank))
        {
            change.fill(0.0);
            for (&factor, down) in up.iter().zip(layer.down.chunks_exact(inputs)) {
                for (sum, &value) in change.iter_mut().zip(down) {
                    *sum += factor * value;
                }
            }
            for (weight, &sum) in row.iter_mut().zip(&change) {
                *weight += self.scale * sum;
            }
        }
        Ok(true)
    }
}

/// A 16-bit float (IEEE 754 binary16).
fn float_of_half(half: u16) -> f32 {
    let sign = if half & 0x8000 == 0 { 1.0 } else { -1.0 };
    let exponent = i32::from(half >> 10 & 0x1f);
    let fraction = f32::from(half & 0x3ff);
    let size = match exponent {
        0 => fraction * 2f32.powi(-24),
        31 if fraction == 0.0 => f32::INFINITY,
        31 => f32::NAN,
        _ => (1.0 + fraction / 1024.0) * 2f32.powi(exponent - 15),
    };
    sign * size
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An adapter of one layer, 2 x 3, of rank 1: down 1 2 -0.5, up 2 0; scale 0.5.
    fn file() -> Vec<u8> {
        let mut file = MARK.to_vec();
        file.extend_from_slice(
            br#"{"made_from":{"grammar":"abc"},"scale":0.5,"rank":1,"layers":[{"name":"encoder/x","in":3,"out":2}]}"#,
        );
        file.push(b'\n');
        for half in [0x3c00u16, 0x4000, 0xb800, 0x4000, 0x0000] {
            file.extend_from_slice(&half.to_le_bytes());
        }
        file
    }

    #[test]
    fn adds_its_change_to_the_matrix_it_names() {
        let adapter = Adapter::parse(&file()).unwrap();
        let mut weights = vec![10.0; 6];
        assert!(adapter.add("encoder/x", 2, 3, &mut weights).unwrap());
        assert_eq!(weights, [11.0, 12.0, 9.5, 10.0, 10.0, 10.0]);
        assert!(!adapter.add("encoder/y", 2, 3, &mut weights).unwrap());
        assert!(adapter.add("encoder/x", 3, 2, &mut weights).is_err());
    }

    #[test]
    fn a_file_that_is_damaged_is_refused() {
        let whole = file();
        assert!(Adapter::parse(&whole[..whole.len() - 1]).is_err());
        assert!(Adapter::parse(&[&whole[..], &[0]].concat()).is_err());
        assert!(Adapter::parse(&whole[1..]).is_err());
        assert!(Adapter::parse(MARK).is_err());
    }

    #[test]
    fn another_file_has_another_name() {
        let mut other = file();
        *other.last_mut().unwrap() = 0x3c;
        assert_ne!(
            Adapter::parse(&file()).unwrap().name(),
            Adapter::parse(&other).unwrap().name()
        );
    }

    #[test]
    fn halves_are_read_as_written() {
        for (half, float) in [
            (0x3c00, 1.0),
            (0xc000, -2.0),
            (0x3555, 0.333_251_95),
            (0x0001, 5.960_464_5e-8),
            (0x7bff, 65_504.0),
        ] {
            assert_eq!(float_of_half(half), float);
        }
    }

    #[test]
    fn the_built_in_one_tells_what_it_was_made_from() {
        let adapter = Adapter::built_in().unwrap();
        assert!(!adapter.grammar().is_empty());
        assert!(BUILT_IN.len() < 8_000_000);
        assert!(adapter.names().any(|name| name.starts_with("encoder/")));
        assert!(adapter.names().any(|name| name.starts_with("decoder/")));
    }
}
