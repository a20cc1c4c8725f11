//! Bytes of what is named as a file: a file, or a pipe that somebody writes into.

use std::fs;
use std::io::{self, Read};
use std::path::Path;

/// The bytes of a file or of a pipe, little more than `most` of them; `None` of a pipe that nobody writes into.
///
/// # Errors
/// The system does not give them.
pub fn bytes_of(path: &Path, most: u64) -> io::Result<Option<Vec<u8>>> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt;
        if fs::metadata(path)?.file_type().is_fifo() {
            return bytes_of_pipe(path, most);
        }
    }
    let mut bytes = Vec::new();
    fs::File::open(path)?.take(most + 1).read_to_end(&mut bytes)?;
    Ok(Some(bytes))
}

/// How long a pipe is waited for until somebody writes into it.
#[cfg(unix)]
const FIRST_WRITER: std::time::Duration = std::time::Duration::from_secs(2);

/// What is written into a pipe. One that nobody writes into would be waited for without end: it is opened without waiting,
/// and is then at its end at once.
#[cfg(unix)]
fn bytes_of_pipe(path: &Path, most: u64) -> io::Result<Option<Vec<u8>>> {
    use io::ErrorKind;
    use std::os::unix::fs::OpenOptionsExt;
    let pause = std::time::Duration::from_millis(5);
    let mut pipe = fs::OpenOptions::new().read(true).custom_flags(libc::O_NONBLOCK).open(path)?;
    let began = std::time::Instant::now();
    let (mut bytes, mut piece) = (Vec::new(), [0; 4096]);
    while bytes.len() as u64 <= most {
        match pipe.read(&mut piece) {
            Ok(0) if bytes.is_empty() && began.elapsed() < FIRST_WRITER => std::thread::sleep(pause),
            Ok(0) if bytes.is_empty() => return Ok(None),
            Ok(0) => break,
            Ok(read) => bytes.extend(&piece[..read]),
            Err(error) if error.kind() == ErrorKind::WouldBlock => std::thread::sleep(pause),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(Some(bytes))
}
