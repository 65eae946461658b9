//! The Vosk library, opened at run time: those of its functions that are used, and what they give, as Rust sees them.
//! Types of functions are those of the library's header for version 0.3.45.
//!
//! Invariant: a [`Model`] or [`Recognizer`] is made only of a library that is open and stays so until the process ends.

use std::ffi::{CStr, CString, c_char, c_float, c_int, c_short, c_void};
use std::path::Path;
use std::ptr::NonNull;
use std::sync::Mutex;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::speech::{SpeechError, runtime};

/// It tells of every model part it reads; a user has no use for that. Its errors still come, on standard error.
const ERRORS_ONLY: c_int = -2;

/// Declares the table of functions and how it is filled, so that both cannot fall out of step.
macro_rules! functions {
    ($($name:ident: fn($($argument:ty),*) $(-> $result:ty)?;)*) => {
        /// The functions of the library that are used here, under their own names.
        struct Functions {
            $($name: unsafe extern "C" fn($($argument),*) $(-> $result)?,)*
        }

        impl Functions {
            /// All of them, or why one is missing.
            ///
            /// # Safety
            /// The library must be one whose functions have these types, and must stay loaded.
            unsafe fn of(library: &libloading::Library) -> Result<Self, libloading::Error> {
                Ok(Self {
                    // SAFETY: as the caller promises.
                    $($name: *unsafe { library.get(concat!(stringify!($name), "\0").as_bytes()) }?,)*
                })
            }
        }
    };
}

functions! {
    vosk_set_log_level: fn(c_int);
    vosk_model_new: fn(*const c_char) -> *mut c_void;
    vosk_model_free: fn(*mut c_void);
    vosk_model_find_word: fn(*mut c_void, *const c_char) -> c_int;
    vosk_recognizer_new_grm: fn(*mut c_void, c_float, *const c_char) -> *mut c_void;
    vosk_recognizer_free: fn(*mut c_void);
    vosk_recognizer_set_max_alternatives: fn(*mut c_void, c_int);
    vosk_recognizer_set_words: fn(*mut c_void, c_int);
    vosk_recognizer_accept_waveform_s: fn(*mut c_void, *const c_short, c_int) -> c_int;
    vosk_recognizer_result: fn(*mut c_void) -> *const c_char;
    vosk_recognizer_partial_result: fn(*mut c_void) -> *const c_char;
    vosk_recognizer_final_result: fn(*mut c_void) -> *const c_char;
}

/// An open library.
#[derive(Clone, Copy)]
pub struct Library(&'static Functions);

/// The one that was opened first; it stays until the process ends, since models may live that long.
static OPEN: Mutex<Option<Library>> = Mutex::new(None);

impl Library {
    /// Opens the library, once in a process; later calls return at once, whatever their path.
    ///
    /// # Errors
    /// [`SpeechError::Model`] where the file is missing, is no such library, or lacks a function.
    pub fn open(path: &Path) -> Result<Self, SpeechError> {
        // A panic inside cannot leave it half set, so a poisoned lock is as good as a sound one.
        let mut open = OPEN.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
        if let Some(library) = *open {
            return Ok(library);
        }
        let model_error = |why: String| SpeechError::Model {
            path: path.display().to_string(),
            why,
        };
        if !path.is_file() {
            return Err(model_error("the Vosk library is not there".into()));
        }
        // Without a slash the loader would search the system's folders instead.
        let full = std::path::absolute(path).map_err(|error| model_error(error.to_string()))?;
        let loader = |error: libloading::Error| model_error(runtime::told(&error));
        // SAFETY: loading runs the library's initialisers; it is the file that the person chose as the Vosk library.
        let loaded = unsafe { libloading::Library::new(full) }.map_err(loader)?;
        // SAFETY: the types are those of the library's header, and it is never unloaded: see below.
        let functions = unsafe { Functions::of(&loaded) }.map_err(loader)?;
        std::mem::forget(loaded);
        let library = Self(Box::leak(Box::new(functions)));
        // SAFETY: takes any number.
        unsafe { (library.0.vosk_set_log_level)(ERRORS_ONLY) };
        *open = Some(library);
        Ok(library)
    }
}

/// A model that the library has read. Recognizers share it.
pub struct Model {
    library: Library,
    model: NonNull<c_void>,
}

// SAFETY: the library's models hold static data and count their own references; any thread may use and free them.
unsafe impl Send for Model {}

impl Model {
    /// Reads a model folder; none where the library cannot (it tells why on standard error).
    pub fn read(library: Library, folder: &str) -> Option<Self> {
        let folder = CString::new(folder).ok()?;
        // SAFETY: a C string that outlives the call.
        let model = unsafe { (library.0.vosk_model_new)(folder.as_ptr()) };
        NonNull::new(model).map(|model| Self { library, model })
    }

    /// Whether the model can hear this word.
    pub fn knows(&self, word: &str) -> bool {
        // A word with a zero byte is none.
        let Ok(word) = CString::new(word) else {
            return false;
        };
        // SAFETY: the model is alive, the C string outlives the call.
        let symbol =
            unsafe { (self.library.0.vosk_model_find_word)(self.model.as_ptr(), word.as_ptr()) };
        symbol >= 0
    }
}

impl Drop for Model {
    fn drop(&mut self) {
        // SAFETY: made by `vosk_model_new`, freed once. Recognizers that still use it hold a reference of their own.
        unsafe { (self.library.0.vosk_model_free)(self.model.as_ptr()) };
    }
}

/// How far a recognizer is after more sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// More may follow.
    Running,
    /// A stretch of speech is closed: [`Recognizer::result`] gives it.
    Closed,
}

/// A recognizer under one grammar.
pub struct Recognizer {
    library: Library,
    recognizer: NonNull<c_void>,
}

// SAFETY: a recognizer shares nothing but its model, and each call needs `&mut`.
unsafe impl Send for Recognizer {}

impl Recognizer {
    /// One that hears these phrases, words included, with so many alternatives. None where the library refuses.
    pub fn of_phrases(
        model: &Model,
        rate_hz: u32,
        phrases: &[String],
        alternatives: u16,
    ) -> Option<Self> {
        let library = model.library;
        let grammar = CString::new(serde_json::to_string(phrases).ok()?).ok()?;
        // SAFETY: the model is alive, the C string outlives the call.
        let recognizer = unsafe {
            (library.0.vosk_recognizer_new_grm)(
                model.model.as_ptr(),
                rate_hz as c_float,
                grammar.as_ptr(),
            )
        };
        let recognizer = NonNull::new(recognizer)?;
        // SAFETY: the recognizer was just made.
        unsafe {
            (library.0.vosk_recognizer_set_max_alternatives)(
                recognizer.as_ptr(),
                c_int::from(alternatives),
            );
            (library.0.vosk_recognizer_set_words)(recognizer.as_ptr(), 1);
        }
        Some(Self {
            library,
            recognizer,
        })
    }

    /// Takes more sound: 16-bit samples.
    ///
    /// # Errors
    /// [`SpeechError::Engine`] where the library fails on it, or the sound is longer than it can take at once.
    pub fn accept(&mut self, samples: &[i16]) -> Result<Progress, SpeechError> {
        let length = c_int::try_from(samples.len()).map_err(|_| {
            SpeechError::Engine("the sound is too long for the Vosk library".into())
        })?;
        // SAFETY: `length` samples can be read at the pointer.
        let state = unsafe {
            (self.library.0.vosk_recognizer_accept_waveform_s)(
                self.recognizer.as_ptr(),
                samples.as_ptr(),
                length,
            )
        };
        match state {
            0 => Ok(Progress::Running),
            1 => Ok(Progress::Closed),
            _ => Err(SpeechError::Engine(
                "the Vosk library failed on this sound (its reason is above)".into(),
            )),
        }
    }

    /// The stretch of speech that was closed.
    ///
    /// # Errors
    /// [`SpeechError::Engine`] where the library's answer cannot be read.
    pub fn result(&mut self) -> Result<Complete, SpeechError> {
        self.answer(self.library.0.vosk_recognizer_result)
    }

    /// What is heard so far of the stretch that is still open.
    ///
    /// # Errors
    /// As [`Recognizer::result`].
    pub fn partial_result(&mut self) -> Result<Partial, SpeechError> {
        self.answer(self.library.0.vosk_recognizer_partial_result)
    }

    /// Ends the utterance: what was heard in it.
    ///
    /// # Errors
    /// As [`Recognizer::result`].
    pub fn final_result(&mut self) -> Result<Complete, SpeechError> {
        self.answer(self.library.0.vosk_recognizer_final_result)
    }

    fn answer<T: DeserializeOwned>(
        &mut self,
        ask: unsafe extern "C" fn(*mut c_void) -> *const c_char,
    ) -> Result<T, SpeechError> {
        // SAFETY: the recognizer is alive. The text is the library's and valid until the next call to it.
        let text = unsafe { ask(self.recognizer.as_ptr()) };
        if text.is_null() {
            return Err(unreadable());
        }
        // SAFETY: not null, so a C string.
        read(unsafe { CStr::from_ptr(text) })
    }
}

impl Drop for Recognizer {
    fn drop(&mut self) {
        // SAFETY: made by `vosk_recognizer_new_grm`, freed once.
        unsafe { (self.library.0.vosk_recognizer_free)(self.recognizer.as_ptr()) };
    }
}

/// What the library says of a whole stretch. It has other answers too, which name no alternatives.
#[derive(Debug, Deserialize)]
pub struct Complete {
    #[serde(default)]
    pub alternatives: Vec<Alternative>,
}

/// One way of hearing.
#[derive(Debug, Deserialize)]
pub struct Alternative {
    /// Natural logarithm, without a common constant.
    pub confidence: f32,
    #[serde(default)]
    pub result: Vec<Word>,
    pub text: String,
}

/// A word of an alternative.
#[derive(Debug, Deserialize)]
pub struct Word {
    /// Seconds.
    pub start: f32,
    /// Seconds.
    pub end: f32,
    pub word: String,
}

/// What is heard so far.
#[derive(Debug, Deserialize)]
pub struct Partial {
    /// Absent where nothing is heard.
    #[serde(default)]
    pub partial: String,
}

fn unreadable() -> SpeechError {
    SpeechError::Engine("the Vosk library gave an answer that cannot be read".into())
}

/// Reads an answer: JSON, but that a probability may be no number.
fn read<T: DeserializeOwned>(text: &CStr) -> Result<T, SpeechError> {
    serde_json::from_slice(text.to_bytes()).map_err(|_| unreadable())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_library_is_told() {
        let Err(error) = Library::open(Path::new("no-such-folder/libvosk.so")) else {
            panic!("opened what is not there");
        };
        assert_eq!(
            error.to_string(),
            "cannot use the speech model no-such-folder/libvosk.so: the Vosk library is not there; run ./models-fetch.sh"
        );
    }

    #[test]
    fn another_library_is_refused_with_what_it_lacks() {
        let other = std::fs::read_to_string("/proc/self/maps")
            .expect("the libraries of this process")
            .lines()
            .filter_map(|line| line.split_whitespace().nth(5).map(str::to_owned))
            .find(|path| path.contains("/libc.so"))
            .expect("the C library");
        let Err(error) = Library::open(Path::new(&other)) else {
            panic!("the C library is no Vosk library");
        };
        assert!(error.to_string().contains("vosk_set_log_level"), "{error}");
    }

    #[test]
    fn an_answer_that_cannot_be_read_is_an_error() {
        let readable = c"{\"alternatives\": [{\"confidence\": -1.5, \"text\": \"one\"}]}";
        assert_eq!(
            read::<Complete>(readable).expect("read").alternatives[0].text,
            "one"
        );
        let unreadable = c"{\"alternatives\": [{\"confidence\": -nan, \"text\": \"one\"}]}";
        assert!(matches!(
            read::<Complete>(unreadable),
            Err(SpeechError::Engine(_))
        ));
        assert!(
            read::<Complete>(c"{\"text\": \"\"}")
                .expect("read")
                .alternatives
                .is_empty()
        );
    }
}
