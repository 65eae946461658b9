//! Opens the Vosk library at run time and keeps its own messages quiet. The crate `vosk` is linked against a stand-in
//! (`forward.c`) that passes calls on to what is opened here.
//!
//! Invariant: nothing else of the crate `vosk` is called before [`open`] returned `Ok` once.

use std::ffi::{CStr, CString, c_char};
use std::os::unix::ffi::OsStrExt;
use std::path::Path;
use std::sync::Mutex;

use crate::speech::SpeechError;

unsafe extern "C" {
    /// See `forward.c`.
    fn sulcus_vosk_open(path: *const c_char) -> *const c_char;
}

/// Whether the library was opened: it stays so until the process ends, since models may live that long.
static IS_OPEN: Mutex<bool> = Mutex::new(false);

/// Opens the library, once in a process; later calls return at once, whatever their path.
///
/// # Errors
/// [`SpeechError::Model`] where the file is missing, is no such library, or lacks a function.
pub fn open(path: &Path) -> Result<(), SpeechError> {
    // A panic inside cannot leave the flag half set, so a poisoned lock is as good as a sound one.
    let mut is_open = IS_OPEN
        .lock()
        .unwrap_or_else(|poisoned| poisoned.into_inner());
    if *is_open {
        return Ok(());
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
    let text = CString::new(full.as_os_str().as_bytes())
        .map_err(|_| model_error("the path holds a zero byte".into()))?;
    // SAFETY: `text` is a C string that outlives the call; the lock keeps other threads out.
    let failure = unsafe { sulcus_vosk_open(text.as_ptr()) };
    if !failure.is_null() {
        // SAFETY: not null, so it is the loader's text, valid until this thread calls the loader again.
        let why = unsafe { CStr::from_ptr(failure) }
            .to_string_lossy()
            .into_owned();
        return Err(model_error(why));
    }
    *is_open = true;
    // It tells of every model part it reads; a user has no use for that. Its errors still come, on standard error.
    ::vosk::set_log_level(::vosk::LogLevel::Error);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_library_is_told() {
        let error = open(Path::new("no-such-folder/libvosk.so")).unwrap_err();
        assert_eq!(
            error.to_string(),
            "cannot use the speech model no-such-folder/libvosk.so: the Vosk library is not there; run ./models-fetch.sh"
        );
    }
}
