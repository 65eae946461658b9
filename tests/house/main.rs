//! The rules of the house that a machine can check. Links nothing of the program.

mod dependencies;
mod tidy;
