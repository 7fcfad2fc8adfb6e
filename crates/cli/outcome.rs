//! The exit status, decided in one place.

use std::process::ExitCode;

use fault::Faults;
use packet::WriteFault;

/// Why a command did not do what it was asked.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The order cannot be built as asked; the findings of `stop` have been shown.
    Unbuildable,
    /// The input cannot be read.
    Unreadable(Faults),
    /// The disk failed, or refused.
    Write(WriteFault),
    /// The output could not be written.
    Output(std::io::Error),
}

impl Failure {
    /// 1 cannot be built as asked, 2 cannot be read, 3 the disk or a tool failed. 0 is all well, cautions included.
    pub(crate) fn exit_code(&self) -> ExitCode {
        ExitCode::from(match self {
            Self::Unbuildable => 1,
            Self::Unreadable(_) => 2,
            Self::Write(_) | Self::Output(_) => 3,
        })
    }
}
