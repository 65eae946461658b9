//! Hears one utterance of spoken digits in a WAV file: `digits FILE.wav MODELS`.

use std::path::Path;
use std::sync::Arc;

use sulcus_speech::audio::{Mix, wav};
use sulcus_speech::speech::{self, Engine, closed_graph};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, models] = &arguments[..] else {
        return Err("give a WAV file and the folder of the models".into());
    };
    let samples = wav::read(Path::new(file), Mix::default())?;
    let mut engine = speech::open(Engine::Moonshine, Path::new(models))?;
    let unknown = engine.set_graph(Arc::new(closed_graph::digits()))?;
    assert!(unknown.is_empty(), "the model knows every digit");
    let hearing = engine.recognise(&samples)?;
    match (hearing.unheard, hearing.hypotheses.first()) {
        (None, Some(best)) => println!("{}", best.words.join(" ")),
        (why, _) => println!("nothing understood: {why:?}"),
    }
    Ok(())
}
