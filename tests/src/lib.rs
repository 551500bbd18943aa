//! End-to-end and outside checks live in the test files beside this.
