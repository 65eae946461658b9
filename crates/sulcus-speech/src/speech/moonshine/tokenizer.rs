//! The model's tokens and their text, read from its `tokenizer.bin`.
//! Does not split text into tokens: the search only ever goes from tokens to text.
//!
//! The file is a list of byte strings, each after its length (7 bits a byte, low bits first; the top bit says that
//! another byte follows). Index in the list = token. U+2581 marks the start of a word and is read as a space.

/// Token that opens every sentence.
pub const START: u32 = 1;
/// Token that ends every sentence.
pub const END: u32 = 2;
/// Tokens below this are marks without text: unknown, start, end.
pub const FIRST_TEXT: u32 = 3;

const WORD_START: &[u8] = "\u{2581}".as_bytes();

/// Text of each token.
pub struct Tokenizer {
    /// Bytes of each token, the word-start mark already a space. Not always whole UTF-8 characters.
    pieces: Vec<Vec<u8>>,
}

impl Tokenizer {
    /// Reads the file's bytes. The error says what is wrong with them.
    pub fn parse(bytes: &[u8]) -> Result<Self, String> {
        let mut pieces = Vec::new();
        let mut rest = bytes;
        while let [first, after @ ..] = rest {
            let mut length = usize::from(first & 0x7f);
            rest = after;
            if first & 0x80 != 0 {
                let [second, after @ ..] = rest else {
                    return Err("the token list ends inside a length".to_owned());
                };
                length |= usize::from(*second) << 7;
                rest = after;
            }
            let Some((piece, after)) = rest.split_at_checked(length) else {
                return Err(format!("token {} is cut off", pieces.len()));
            };
            pieces.push(spaced(piece));
            rest = after;
        }
        if pieces.len() <= FIRST_TEXT as usize {
            return Err("the token list is empty".to_owned());
        }
        Ok(Self { pieces })
    }

    /// Number of tokens. The model's own vocabulary may be longer: the rest is never used.
    pub fn count(&self) -> usize {
        self.pieces.len()
    }

    /// Bytes of one token; empty for marks and for numbers outside the list.
    pub fn piece(&self, token: u32) -> &[u8] {
        if token < FIRST_TEXT {
            return &[];
        }
        self.pieces.get(token as usize).map_or(&[], Vec::as_slice)
    }

    /// The text of a sentence of tokens, without space at its ends.
    pub fn text(&self, tokens: &[u32]) -> String {
        let bytes: Vec<u8> = tokens
            .iter()
            .flat_map(|&token| self.piece(token))
            .copied()
            .collect();
        String::from_utf8_lossy(&bytes).trim().to_owned()
    }
}

fn spaced(piece: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(piece.len());
    let mut rest = piece;
    while let Some((&byte, after)) = rest.split_first() {
        if let Some(after_mark) = rest.strip_prefix(WORD_START) {
            out.push(b' ');
            rest = after_mark;
        } else {
            out.push(byte);
            rest = after;
        }
    }
    out
}

#[cfg(test)]
pub mod tests {
    use super::*;

    /// A tokenizer with the three marks and then the given texts, for other tests.
    pub fn tokenizer(pieces: &[&str]) -> Tokenizer {
        let marks = ["<unk>", "<s>", "</s>"].into_iter();
        let bytes: Vec<Vec<u8>> = marks
            .chain(pieces.iter().copied())
            .map(|piece| piece.replace(' ', "\u{2581}").into_bytes())
            .collect();
        let list: Vec<&[u8]> = bytes.iter().map(Vec::as_slice).collect();
        Tokenizer::parse(&file(&list)).unwrap()
    }

    fn file(pieces: &[&[u8]]) -> Vec<u8> {
        let mut out = Vec::new();
        for piece in pieces {
            if piece.len() < 128 {
                out.push(piece.len() as u8);
            } else {
                out.push(0x80 | (piece.len() & 0x7f) as u8);
                out.push((piece.len() >> 7) as u8);
            }
            out.extend_from_slice(piece);
        }
        out
    }

    #[test]
    fn reads_lengths_of_one_and_two_bytes_and_word_starts() {
        let long = vec![b'x'; 300];
        let list = file(&[
            b"<unk>",
            b"<s>",
            b"</s>",
            "\u{2581}Four".as_bytes(),
            &long,
            b"",
            b",",
        ]);
        let tokenizer = Tokenizer::parse(&list).unwrap();
        assert_eq!(tokenizer.count(), 7);
        assert_eq!(tokenizer.piece(3), b" Four");
        assert_eq!(tokenizer.piece(4), &long[..]);
        assert_eq!(tokenizer.piece(5), b"");
        assert_eq!(tokenizer.text(&[1, 3, 6, 3, 2]), "Four, Four");
    }

    #[test]
    fn marks_and_unknown_numbers_have_no_text() {
        let tokenizer = Tokenizer::parse(&file(&[b"<unk>", b"<s>", b"</s>", b"a"])).unwrap();
        assert_eq!(tokenizer.piece(END), b"");
        assert_eq!(tokenizer.piece(99), b"");
    }

    #[test]
    fn a_cut_file_is_refused() {
        let mut list = file(&[b"<unk>", b"<s>", b"</s>", b"four"]);
        list.pop();
        assert!(Tokenizer::parse(&list).is_err());
        assert!(Tokenizer::parse(&[]).is_err());
        assert!(Tokenizer::parse(&[0x81]).is_err());
    }
}
