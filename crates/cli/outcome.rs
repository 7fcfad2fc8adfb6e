//! How a command ends: the exit status, decided in one place.

use std::io;

use case::Finding;
use fault::Faults;
use packet::{Unproven, WriteFault};

/// Why a command did not do what it was asked. Nothing was written, in every case.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The order cannot be built as asked: all findings, at least one of them a `stop`.
    Unbuildable(Vec<Finding>),
    /// A program does not do what it claims, and its proof has been shown.
    Refused,
    /// The input cannot be read.
    Unreadable(Faults),
    /// A program that this run made does not do what it claims.
    Unproven(Unproven),
    /// The disk failed, or what stands at the target is not for this program to replace.
    Disk(WriteFault),
    /// Standard output failed.
    Output(io::Error),
}

impl Failure {
    /// The exit status; 0 is all well, cautions included.
    pub(crate) const fn status(&self) -> u8 {
        match self {
            Self::Unbuildable(_) | Self::Refused => 1,
            Self::Unreadable(_) => 2,
            Self::Unproven(_) | Self::Disk(_) | Self::Output(_) => 3,
        }
    }
}

impl From<Faults> for Failure {
    fn from(faults: Faults) -> Self {
        Self::Unreadable(faults)
    }
}

impl From<Unproven> for Failure {
    fn from(unproven: Unproven) -> Self {
        Self::Unproven(unproven)
    }
}

impl From<WriteFault> for Failure {
    fn from(fault: WriteFault) -> Self {
        Self::Disk(fault)
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::Output(error)
    }
}
