//! Writes a build into its folder: each file whole or not at all, and nothing touched that an earlier build did not write.

use super::OutFile;
use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Component, Path, PathBuf};

/// The list of what a build wrote, one path a line, in the design's folder.
pub const LIST: &str = ".groovewright-files";

/// A longer list is none of ours, bytes: 10,000 parts with the longest ids fit in.
const LONGEST_LIST: u64 = 4 << 20;

/// Why a build could not be written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The system refused.
    #[error("cannot {doing} {path}: {cause}{}", help(.cause))]
    System {
        /// `write`, `make the folder`, ...
        doing: &'static str,
        /// The path as given.
        path: String,
        /// The system's words.
        cause: io::Error,
    },
    /// A symbolic link stands where a folder of the build belongs.
    #[error(
        "{0} is a symbolic link, and a build never writes through one: remove it, or name another folder with --out"
    )]
    Link(String),
    /// Something that is no folder stands where a folder of the build belongs.
    #[error("{0} is in the way: a folder belongs there")]
    NoFolder(String),
}

impl WriteError {
    fn system(doing: &'static str, path: &Path, cause: io::Error) -> Self {
        let path = path.display().to_string();
        Self::System { doing, path, cause }
    }
}

/// What to do about it, where the system's words don't say.
fn help(cause: &io::Error) -> &'static str {
    use io::ErrorKind as K;
    match cause.kind() {
        K::PermissionDenied | K::ReadOnlyFilesystem => "; choose a folder you may write to",
        K::StorageFull | K::QuotaExceeded => "; make room on the disk and build again",
        K::FileTooLarge => "; raise the limit of file sizes (`ulimit -f`) and build again",
        _ => "",
    }
}

/// What was done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Written {
    /// The design's folder.
    pub folder: PathBuf,
    /// Files written.
    pub files: usize,
    /// Files of an earlier build that were taken away.
    pub removed: usize,
}

/// Writes `files` into `out/name`, and removes what an earlier build wrote there and this one does not.
///
/// Every file is written beside its place and moved into it, so a reader finds the old one or the new one, never half. Only files named
/// by an earlier build's [`LIST`] are removed.
///
/// # Errors
/// The first thing that cannot be done. What was written until then is whole and stands in the list, so the next build replaces it.
pub fn write_build(out: &Path, name: &str, files: &[OutFile]) -> Result<Written, WriteError> {
    let folder = out.join(name);
    fs::create_dir_all(out).map_err(|e| WriteError::system("make the folder", out, e))?;
    real_folder(&folder)?;
    let before = read_list(&folder);
    let now: BTreeSet<&str> = files.iter().map(|f| f.0.as_str()).collect();

    // The list goes first and names both builds: whatever interrupts what follows, nothing is left that no list knows.
    let both: BTreeSet<&str> = before
        .iter()
        .map(String::as_str)
        .chain(now.iter().copied())
        .collect();
    write_list(&folder, &both)?;

    // Stale files go before new ones come: where `v1` and `V1` are one file, the other order would remove the new one.
    let mut removed = 0;
    for path in before.iter().filter(|p| !now.contains(p.as_str())) {
        removed += usize::from(remove(&folder, path)?);
    }

    let mut made = BTreeSet::new();
    for (path, bytes) in files {
        let mut parent = folder.clone();
        let mut parts: Vec<&str> = path.split('/').collect();
        let file = parts.pop().unwrap_or_default();
        for part in parts {
            parent.push(part);
            if made.insert(parent.clone()) {
                real_folder(&parent)?;
            }
        }
        write_file(&parent, file, bytes)?;
    }
    if both != now {
        write_list(&folder, &now)?;
    }
    Ok(Written {
        folder,
        files: files.len(),
        removed,
    })
}

/// Writes one file into a folder that is there, whole or not at all.
///
/// # Errors
/// As the system says.
pub fn write_file(folder: &Path, name: impl AsRef<OsStr>, bytes: &[u8]) -> Result<(), WriteError> {
    let target = folder.join(name.as_ref());
    let fail = |e| WriteError::system("write", &target, e);
    // Moving onto a folder fails with words that help nobody.
    if fs::symlink_metadata(&target).is_ok_and(|m| m.is_dir()) {
        return Err(fail(io::Error::new(
            io::ErrorKind::IsADirectory,
            "a folder of that name is in the way",
        )));
    }
    beside(folder, bytes)
        .map_err(fail)?
        .persist(&target)
        .map_err(|e| fail(e.error))?;
    Ok(())
}

/// The same, but a file that is there already stays. `false` if there was one.
///
/// # Errors
/// As the system says.
pub fn write_new_file(
    folder: &Path,
    name: impl AsRef<OsStr>,
    bytes: &[u8],
) -> Result<bool, WriteError> {
    let target = folder.join(name.as_ref());
    let fail = |e| WriteError::system("write", &target, e);
    match beside(folder, bytes)
        .map_err(fail)?
        .persist_noclobber(&target)
    {
        Ok(_) => Ok(true),
        Err(e) if e.error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
        Err(e) => Err(fail(e.error)),
    }
}

/// A file with these bytes that vanishes unless it is moved to its place.
fn beside(folder: &Path, bytes: &[u8]) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".groovewright-");
    // Readable by others as far as the user's own mask allows; a temporary file is private otherwise.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder).map_err(plain)?;
    file.write_all(bytes).map_err(plain)?;
    Ok(file)
}

/// Without the name of the file beside, which no builder gave, where the kind says it all.
fn plain(e: io::Error) -> io::Error {
    match e.kind() {
        kind if !help(&e).is_empty() => kind.into(),
        _ => e,
    }
}

/// Makes sure that a folder is there and is one, not a link to one.
fn real_folder(path: &Path) -> Result<(), WriteError> {
    match fs::symlink_metadata(path) {
        Ok(m) if m.is_symlink() => Err(WriteError::Link(path.display().to_string())),
        Ok(m) if m.is_dir() => Ok(()),
        Ok(_) => Err(WriteError::NoFolder(path.display().to_string())),
        Err(e) if e.kind() == io::ErrorKind::NotFound => {
            fs::create_dir(path).map_err(|e| WriteError::system("make the folder", path, e))
        }
        Err(e) => Err(WriteError::system("look at", path, e)),
    }
}

fn write_list(folder: &Path, paths: &BTreeSet<&str>) -> Result<(), WriteError> {
    let mut text = String::new();
    for path in paths {
        text.push_str(path);
        text.push('\n');
    }
    write_file(folder, LIST, text.as_bytes())
}

/// What an earlier build wrote; nothing if its list is not there, not a plain file or not readable.
fn read_list(folder: &Path) -> BTreeSet<String> {
    let path = folder.join(LIST);
    let mut text = String::new();
    if !fs::symlink_metadata(&path).is_ok_and(|m| m.is_file() && m.len() <= LONGEST_LIST) {
        return BTreeSet::new();
    }
    match fs::File::open(&path).and_then(|f| f.take(LONGEST_LIST).read_to_string(&mut text)) {
        Ok(_) => text
            .lines()
            .filter(|line| inside(line))
            .map(str::to_owned)
            .collect(),
        Err(_) => BTreeSet::new(),
    }
}

/// Whether a line of the list names a file below the folder, and not the list itself.
fn inside(path: &str) -> bool {
    let plain = Path::new(path)
        .components()
        .all(|c| matches!(c, Component::Normal(_)));
    plain && !path.is_empty() && path != LIST && !path.contains(['\\', ':'])
}

/// Removes a file of an earlier build, and the folders that leaves empty. A link, or a path through one, is not ours and stays.
fn remove(folder: &Path, path: &str) -> Result<bool, WriteError> {
    let mut here = folder.to_path_buf();
    let mut folders = Vec::new();
    let mut parts: Vec<&str> = path.split('/').collect();
    let file = parts.pop().unwrap_or_default();
    for part in parts {
        here.push(part);
        if !fs::symlink_metadata(&here).is_ok_and(|m| m.is_dir()) {
            return Ok(false);
        }
        folders.push(here.clone());
    }
    let target = here.join(file);
    if !fs::symlink_metadata(&target).is_ok_and(|m| m.is_file()) {
        return Ok(false);
    }
    fs::remove_file(&target).map_err(|e| WriteError::system("remove", &target, e))?;
    // The system refuses to remove a folder that still holds something, which is what is wanted.
    for folder in folders.iter().rev() {
        if fs::remove_dir(folder).is_err() {
            break;
        }
    }
    Ok(true)
}
