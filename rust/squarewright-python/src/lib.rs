//! Python bindings.
