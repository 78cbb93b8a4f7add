#pragma once
// Findings and work records from files.

#include <string>
#include <string_view>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

/// Reads findings from CSV (header of the field names) or JSON (schema `libseal/findings/1`).
/// @throws FileError, ValueError  with file, line, column and field of up to 50 problems.
std::vector<Finding> read_findings(const std::string& path);
/// The same from text in memory; `name` stands for the file in errors.
std::vector<Finding> read_findings_text(std::string_view text, const std::string& name);
/// The same, checked against the coaches it is about as `check_findings` does, with the line of each problem.
std::vector<Finding> read_findings(const std::string& path, const Fleet& fleet, Date as_of);
std::vector<Finding> read_findings_text(std::string_view text, const std::string& name, const Fleet& fleet, Date as_of);
/// The findings as text that reads back equal.
std::string findings_json(const std::vector<Finding>& findings);

/// Reads records of work from CSV or JSON (schema `libseal/work_done/1`).
std::vector<WorkDone> read_work_done(const std::string& path);
/// The same from text in memory; `name` stands for the file in errors.
std::vector<WorkDone> read_work_done_text(std::string_view text, const std::string& name);

/// Checks that words and numbers are those of a file, that coaches, joints, parts, layers and segments exist and that dates are not after `as_of`.
/// @throws ValueError  naming the finding by its index.
void check_findings(const std::vector<Finding>& findings, const Fleet& fleet, Date as_of);
/// @throws ValueError  as above, naming the record by its index.
void check_work_done(const std::vector<WorkDone>& work, const Fleet& fleet, Date as_of);

/// A layer through its renewals: each generation as it was fitted, and the day of the work that ended it.
struct LayerHistory {
    std::vector<Layer> generations;  ///< in order of time, the last one stands
    std::vector<Date> ended;         ///< one for each generation but the last
};
/// Generations of a layer from the records of its coach, joint and kind (others are passed over).
LayerHistory layer_history(const Layer& first, const std::string& coach, const std::string& joint,
                           const std::vector<WorkDone>& work, Date as_of);

/// The fleet as it stands on `as_of`: each work record not declined gives its layer a new generation, date and family.
Fleet with_work_done(const Fleet& fleet, const std::vector<WorkDone>& work, Date as_of);

}  // namespace libseal
