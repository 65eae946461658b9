//! Prompts in, sound out. Tells `app` when it starts and stops speaking, so that the microphone is not heard then.
