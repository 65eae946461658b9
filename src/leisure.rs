//! Threads that give way to the work at the table: whole checks of a journal, visits on their way to the archive.

/// Lets the calling thread run where nobody else wants the processor. Where the system does not do that it runs as before.
pub fn give_way() {
    // Of a thread, not of the process: Linux keeps this for each thread.
    #[cfg(target_os = "linux")]
    let _ = rustix::process::setpriority_process(None, LEAST);
}

/// The system's lowest priority.
#[cfg(target_os = "linux")]
const LEAST: i32 = 19;

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    #[test]
    fn one_thread_gives_way_and_the_others_do_not() {
        let priority = || rustix::process::getpriority_process(None).expect("asked");
        let before = priority();
        let in_thread = std::thread::spawn(move || {
            give_way();
            priority()
        });
        assert_eq!(in_thread.join().expect("ends"), LEAST);
        assert_eq!(priority(), before);
    }
}
