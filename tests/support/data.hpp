#pragma once
// Where outside data lies, and how a test says that it was absent.

#include <filesystem>
#include <optional>
#include <string>

namespace libseal_test {

/// Folder of outside data: LIBSEAL_DATA, else ../shared/data beside the checkout; empty if there is none.
std::optional<std::filesystem::path> data_folder();

/// Path of one outside file, or nothing after noting "skipped: NAME needs FILE" for the summary.
std::optional<std::filesystem::path> outside_file(const std::string& relative);

/// Folder of the checkout.
std::filesystem::path source_folder();

/// Number of test cases that skipped for want of data, wholly or in part.
int skipped_count();

}  // namespace libseal_test
