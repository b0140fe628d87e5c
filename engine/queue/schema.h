/// The form of a queue's file: a documented SQLite database that other programs may read.
///
/// README.md of this folder says what tables and views hold.
#pragma once

#include <filesystem>

#include "queue/sqlite.h"

namespace sixfold {

/// Opens a queue's file. Where it is to be created and is not there, or empty, it is made. Throws
/// DatabaseError, also for the database of another program and for a form that is newer than ours.
[[nodiscard]] Database open_queue(const std::filesystem::path& file, Database::Access access);

}  // namespace sixfold
