//! The job file and its profiles: from text to a survey, with every problem reported.
