//! What the program prints. The macros of the standard library's names stand before those here, and do not panic:
//! a reader that closes the pipe has read what it wanted; what a full disk does not take is told at the end.
//!
//! Invariant: every line that a command prints goes through here, and [`finish`] knows whether it arrived.

use std::fmt;
use std::io::{self, ErrorKind, Write};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

/// The first error of the standard output; after it nothing more is written.
static FAILED: Mutex<Option<io::Error>> = Mutex::new(None);

/// Only what was asked for, questions and what went wrong: no notes, no progress.
static QUIET: AtomicBool = AtomicBool::new(false);

/// Leaves out notes and progress from here on.
pub fn set_quiet(is_quiet: bool) {
    QUIET.store(is_quiet, Ordering::Relaxed);
}

/// Whether notes and progress are left out.
pub fn is_quiet() -> bool {
    QUIET.load(Ordering::Relaxed)
}

/// Writes bytes that were asked for: a file that goes to the terminal or through a pipe.
pub fn put(bytes: &[u8]) {
    write(|out| out.write_all(bytes));
}

/// The standard output as something to be written to piece by piece: as [`put`].
pub struct Out;

impl Write for Out {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        put(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[doc(hidden)]
pub fn print(text: fmt::Arguments<'_>) {
    write(|out| out.write_fmt(text));
}

fn write(act: impl FnOnce(&mut io::StdoutLock<'_>) -> io::Result<()>) {
    let Ok(mut failed) = FAILED.lock() else {
        return;
    };
    if failed.is_none() {
        *failed = act(&mut io::stdout().lock()).err();
    }
}

/// To the standard error. Where that is closed, nobody is left to be told.
#[doc(hidden)]
pub fn tell(text: fmt::Arguments<'_>) {
    let mut err = io::stderr().lock();
    let _ = err.write_fmt(text).and_then(|()| err.write_all(b"\n"));
}

/// Hands on what is still held back.
///
/// # Errors
/// Where something that was printed did not arrive, unless the reader closed the pipe: that is its own wish.
pub fn finish() -> io::Result<()> {
    write(|out| out.flush());
    let failed = FAILED.lock().ok().and_then(|mut failed| failed.take());
    match failed {
        Some(error) if error.kind() != ErrorKind::BrokenPipe => Err(error),
        _ => Ok(()),
    }
}

macro_rules! print {
    ($($part:tt)*) => { $crate::terminal::print(format_args!($($part)*)) };
}

macro_rules! println {
    () => { $crate::terminal::print(format_args!("\n")) };
    ($($part:tt)*) => {
        $crate::terminal::print(format_args!("{}\n", format_args!($($part)*)))
    };
}

macro_rules! eprintln {
    ($($part:tt)*) => { $crate::terminal::tell(format_args!($($part)*)) };
}

/// What is good to know beside what was asked for; left out where the user wants quiet.
macro_rules! note {
    ($($part:tt)*) => {
        if !$crate::terminal::is_quiet() {
            $crate::terminal::tell(format_args!($($part)*));
        }
    };
}
