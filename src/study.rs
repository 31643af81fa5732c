//! The library's front door: one call from a text to design, assembly and findings. No input, no output.
