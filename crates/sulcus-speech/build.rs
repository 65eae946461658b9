//! Builds the stand-in that the program links as "vosk" (see `src/speech/vosk/forward.c`).
//!
//! The crate `vosk` asks the linker for a library of that name. It finds the stand-in, because the folder it lies in
//! is searched first; no Vosk library is needed to build, nor to start the program.

fn main() {
    const SOURCE: &str = "src/speech/vosk/forward.c";
    println!("cargo::rerun-if-changed={SOURCE}");
    println!("cargo::rerun-if-changed=build.rs");
    // Without cargo's own lines: they would also bundle the stand-in into the Rust library, a second time.
    cc::Build::new()
        .file(SOURCE)
        .warnings(true)
        .extra_warnings(true)
        .cargo_metadata(false)
        .compile("vosk");
    let folder = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR for build scripts");
    println!("cargo::rustc-link-search=native={folder}");
}
