//! Files written whole or not at all, and never over another by accident.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::failure::{Exit, Failure, reason};

/// Whether a file that is there already may be written over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Existing {
    Keep,
    Replace,
}

impl Existing {
    pub(crate) const fn from_force(force: bool) -> Self {
        if force { Self::Replace } else { Self::Keep }
    }
}

/// Fails early where a file could not be written in the end, before any long work.
pub(crate) fn check(path: &Path, existing: Existing) -> Result<(), Failure> {
    match fs::metadata(path) {
        Ok(found) if found.is_dir() => {
            Err(cannot(path, "there is a folder of that name", "give the name of a file in it"))
        }
        Ok(found) if found.is_file() && existing == Existing::Keep => Err(there_already(path)),
        Ok(_) => Ok(()),
        Err(_) => {
            let folder = folder_of(path);
            if folder.is_dir() {
                Ok(())
            } else {
                Err(cannot(
                    &folder,
                    "there is no such folder",
                    "make the folder first, or write somewhere else",
                ))
            }
        }
    }
}

/// Fails where a file to write is one that is read: even --force does not mean that.
pub(crate) fn spare(read: &[Option<&Path>], written: &[&Path]) -> Result<(), Failure> {
    let read: Vec<PathBuf> = read.iter().flatten().filter_map(|path| fs::canonicalize(path).ok()).collect();
    for path in written {
        if let Ok(real) = fs::canonicalize(path)
            && real.is_file()
            && read.contains(&real)
        {
            return Err(cannot(path, "this is the very file that is read", "give another name with --out"));
        }
    }
    Ok(())
}

/// Writes one file.
pub(crate) fn write(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), Failure> {
    write_all(&[(path.to_owned(), bytes.to_vec())], existing)
}

/// The folder for several files: made where it is not there yet, and free of files of these names.
pub(crate) fn prepare_folder(folder: &Path, names: &[&str], existing: Existing) -> Result<(), Failure> {
    match fs::metadata(folder) {
        Ok(found) if !found.is_dir() => {
            return Err(cannot(folder, "there is a file of that name", "give another folder with --out"));
        }
        Ok(_) => {}
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => {
            return Err(cannot(folder, &reason(&error), "give another folder with --out"));
        }
    }
    names.iter().try_for_each(|name| check(&folder.join(name), existing))
}

/// Writes several files into a folder, all or none: each is first written whole under another name.
pub(crate) fn write_folder(
    folder: &Path,
    files: &[(&str, Vec<u8>)],
    existing: Existing,
) -> Result<Vec<PathBuf>, Failure> {
    let new: Vec<&Path> = folder.ancestors().take_while(|at| !at.exists()).collect();
    let files: Vec<(PathBuf, Vec<u8>)> =
        files.iter().map(|(name, bytes)| (folder.join(name), bytes.clone())).collect();
    let written = fs::create_dir_all(folder)
        .map_err(|error| cannot(folder, &reason(&error), "give another folder with --out"))
        .and_then(|()| write_all(&files, existing));
    if let Err(failure) = written {
        // Only empty folders can be removed so; one that can't be stays, and does no harm.
        new.iter().for_each(|folder| drop(fs::remove_dir(folder)));
        return Err(failure);
    }
    Ok(files.into_iter().map(|(path, _)| path).collect())
}

/// Writes several files, all or none.
pub(crate) fn write_all(files: &[(PathBuf, Vec<u8>)], existing: Existing) -> Result<(), Failure> {
    files.iter().try_for_each(|(path, _)| check(path, existing))?;
    let failed = |path: &Path, error: &io::Error| {
        cannot(path, &reason(error), "make room or check the permissions, or write somewhere else")
    };
    let mut waiting = Vec::new();
    for (path, bytes) in files {
        // A device or a pipe is written to as it stands; only a plain file can be put in place.
        if fs::metadata(path).is_ok_and(|found| !found.is_file() && !found.is_dir()) {
            let written = fs::OpenOptions::new()
                .write(true)
                .open(path)
                .and_then(|mut file| file.write_all(bytes).and_then(|()| file.flush()));
            written.map_err(|error| failed(path, &error))?;
            continue;
        }
        let written = temporary(&folder_of(path)).and_then(|mut file| {
            file.write_all(bytes)?;
            file.as_file().sync_all()?;
            Ok(file)
        });
        waiting.push((path, written.map_err(|error| failed(path, &error))?));
    }
    let mut placed = Vec::new();
    for (path, file) in waiting {
        let outcome = match existing {
            Existing::Keep => file.persist_noclobber(path),
            Existing::Replace => file.persist(path),
        };
        if let Err(error) = outcome {
            // Those that were placed are new, unless they were to replace others.
            if existing == Existing::Keep {
                placed.iter().for_each(|path| drop(fs::remove_file(path)));
            }
            return Err(if error.error.kind() == io::ErrorKind::AlreadyExists {
                there_already(path)
            } else {
                failed(path, &error.error)
            });
        }
        placed.push(path);
    }
    Ok(())
}

#[cfg(unix)]
fn temporary(folder: &Path) -> io::Result<NamedTempFile> {
    use std::os::unix::fs::PermissionsExt;
    // As any other new file would have; the person's umask takes its part.
    tempfile::Builder::new().permissions(fs::Permissions::from_mode(0o666)).tempfile_in(folder)
}

#[cfg(not(unix))]
fn temporary(folder: &Path) -> io::Result<NamedTempFile> {
    NamedTempFile::new_in(folder)
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn there_already(path: &Path) -> Failure {
    cannot(
        path,
        "the file is there already, and is left as it is",
        "write it over with --force, or give another name with --out",
    )
}

fn cannot(path: &Path, what: &str, hint: &str) -> Failure {
    Failure::new(Exit::Output, what, path.display(), hint)
}
