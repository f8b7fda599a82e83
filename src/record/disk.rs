//! Files that are written once and for all: locks, writing through to the disk, copies that never overwrite.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use super::error::RecordError;

const LOCK_WAIT: Duration = Duration::from_secs(3);

/// Whether a lock is for reading beside others or for writing alone.
#[derive(Clone, Copy)]
pub(crate) enum Lock {
    Shared,
    Alone,
}

/// Turns a system error into the record's own.
pub(crate) fn failed(path: &Path, doing: &'static str) -> impl FnOnce(io::Error) -> RecordError {
    let path = path.to_path_buf();
    move |source| RecordError::File {
        path,
        doing,
        source,
    }
}

/// Locks a file, waiting a little for another program; the lock ends with the file.
pub(crate) fn lock(file: &File, path: &Path, kind: Lock) -> Result<(), RecordError> {
    let started = Instant::now();
    loop {
        let tried = match kind {
            Lock::Shared => file.try_lock_shared(),
            Lock::Alone => file.try_lock(),
        };
        match tried {
            Ok(()) => return Ok(()),
            Err(TryLockError::Error(source)) => return Err(failed(path, "lock it")(source)),
            Err(TryLockError::WouldBlock) if started.elapsed() > LOCK_WAIT => {
                return Err(RecordError::Locked {
                    path: path.to_path_buf(),
                    seconds: LOCK_WAIT.as_secs(),
                });
            }
            Err(TryLockError::WouldBlock) => thread::sleep(Duration::from_millis(20)),
        }
    }
}

/// Writes a folder's list of files through to the disk.
pub(crate) fn sync_folder(folder: &Path) -> Result<(), RecordError> {
    // other systems cannot open a folder as a file, and keep its list by themselves
    if cfg!(unix) {
        File::open(folder)
            .and_then(|f| f.sync_all())
            .map_err(failed(folder, "write it through to the disk"))?;
    }
    Ok(())
}

/// Writes a new file through to the disk; an existing one is an error of kind `AlreadyExists`.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Puts bytes in the place of a file's, whole or not at all, and through to the disk.
pub(crate) fn replace(path: &Path, bytes: &[u8]) -> Result<(), RecordError> {
    let mut next = path.as_os_str().to_owned();
    next.push(".next");
    let next = PathBuf::from(next);
    File::create(&next)
        .and_then(|mut file| {
            file.write_all(bytes)?;
            file.sync_all()
        })
        .map_err(failed(&next, "write it"))?;
    fs::rename(&next, path).map_err(failed(path, "put it in place"))?;
    path.parent().map_or(Ok(()), sync_folder)
}

/// Puts bytes into a folder under a name of their own: an equal file is used again, an unequal one is never touched.
pub(crate) fn keep(folder: &Path, name: &str, bytes: &[u8]) -> Result<PathBuf, RecordError> {
    fs::create_dir_all(folder).map_err(failed(folder, "make it"))?;
    let mut count = 1;
    loop {
        let path = folder.join(numbered(name, count));
        match write_new(&path, bytes) {
            Ok(()) => {
                sync_folder(folder)?;
                return Ok(path);
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                if fs::read(&path).map_err(failed(&path, "read it"))? == bytes {
                    return Ok(path);
                }
            }
            Err(error) => return Err(failed(&path, "write it")(error)),
        }
        count += 1;
    }
}

/// `hold.csv`, `hold-2.csv`, `hold-3.csv`.
fn numbered(name: &str, count: usize) -> String {
    match (count, name.rsplit_once('.')) {
        (1, _) => name.to_string(),
        (_, Some((stem, ending))) if !stem.is_empty() => format!("{stem}-{count}.{ending}"),
        _ => format!("{name}-{count}"),
    }
}
