//! Tells talk of the trade from other talk, by single words: only the former may be kept where it was not understood.
//!
//! Invariant: a word of everyday life, though the grammar uses it, makes no talk one of the trade.

use super::template::{Book, Node};
use crate::speech::value;

/// A shorter word says too little.
const LETTERS_MIN: usize = 4;

/// Words of the grammar that people say of other things as often.
const EVERYDAY: &str = "actually after again alone along also animal another apart appears area around baby back bare \
    base because been before begin beginning begins begun behind below beside between biter blood blue body both \
    bottom break broken cage came cancel central change changed cheek clear closed colour come comes coming complete \
    completed contact corner correct could count counted crack cracked deep degree degrees delete detected different \
    direct disregard does doing done down each eight eighteen eighty elevated eleven else emergency ended ending ends \
    entire entry erase even every everything everywhere except extra eyes face fifteen fifty film films find fine \
    finish finished finishing first five flow fluid foreign forget form forty found four fours fourteen fourth from \
    front full gave give given going gone good grey growth half halo hand handed hard have head healthy heart heavy \
    here hour hundred index inside instead into involved jump keep last leave leaving left length light limits line \
    listen long look looked looks loose lost lower make mean meant measures middle mild milk minimal minute missed \
    missing mode moderate moment month months more move movement moving muscle must narrow neck need needed needs \
    next nine nineteen ninety none nope normal note nothing object objects okay once ones only open opposing opposite \
    options order other others over owner pack packed packs pale pause percent permanent pink place placed plan \
    please plus point polish polished position present pressure previous problems quiet raised rate read reading \
    readings reads reflex remain remainder remaining remains remove removed repeat report required requires rest \
    review reviewed right round scale score scrap scratch second seconds seven seventeen seventy severe shoot should \
    showing shows side signed signs simple site sites sixteen sixty size skin skip slight slightly slow soft some \
    speaking spot stage standing start started starting starts status step still stones stop stopped strike surface \
    switch take taken taking talking tear teeth tell temperature thank thanks that them then there they things think \
    third thirteen thirty this three threes through throughout tidal tight time together tone tones took tooth toys \
    treat turned twelve twenty twisted twos type under upper very visible visit want wanted wants water weak wear \
    weight well what when where which while white whole will with within without witness wobbly word work worn wound \
    write wrong yeah year years zero";

/// Whether one of the words is of the trade.
pub(super) fn has_word(book: &Book, words: &[String]) -> bool {
    words.iter().any(|word| {
        word.len() >= LETTERS_MIN
            && value::number(word).is_none()
            && !EVERYDAY.split_whitespace().any(|everyday| everyday == word)
            && is_used(book, word)
    })
}

fn is_used(book: &Book, word: &str) -> bool {
    let lists = book.lists.values().flatten().map(|(said, _)| said);
    let rules = book.rules.values().flatten();
    let templates = book.templates.iter().map(|template| &template.node);
    lists.chain(rules).chain(templates).any(|node| {
        let mut is_there = false;
        node.visit(&mut |node| is_there |= matches!(node, Node::Word(own) if own == word));
        is_there
    })
}
