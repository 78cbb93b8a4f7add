#pragma once
// What went wrong with a call: objects first, text as their rendering.

#include <exception>
#include <string>
#include <vector>

namespace libseal {

/// One thing that is wrong, with its place. Empty text and 0 mean "does not apply".
struct Problem {
    std::string file;      ///< file name as given by the caller
    int line = 0;          ///< 1-based
    int column = 0;        ///< 1-based, in bytes
    std::string field;     ///< path of the field or name of the argument, for example "joints[3].bead.width"
    std::string expected;  ///< what would have been right
    std::string got;       ///< what was there
    std::string hint;      ///< how to mend it
    std::string context;   ///< the lines around the place, with a caret
};

/// "file:line:column: field: expected ..., got ...", then context and hint.
std::string to_text(const Problem& problem);

/// Base of everything the library throws. `what()` is the text of all problems.
class Error : public std::exception {
public:
    explicit Error(std::vector<Problem> problems);
    explicit Error(Problem problem) : Error(std::vector<Problem>{std::move(problem)}) {}

    const std::vector<Problem>& problems() const { return problems_; }
    const char* what() const noexcept override { return text_.c_str(); }

private:
    std::vector<Problem> problems_;
    std::string text_;
};

/// An argument or the content of an input is wrong. Python: a ValueError.
class ValueError : public Error {
public:
    using Error::Error;
};

/// A file cannot be read or written. Python: an OSError.
class FileError : public Error {
public:
    using Error::Error;
};

/// The call cannot be done in this state. Python: a RuntimeError.
class StateError : public Error {
public:
    using Error::Error;
};

/// The caller's stop token was set and the call has no partial result to give. Python: a RuntimeError.
class Cancelled : public StateError {
public:
    using StateError::StateError;
};

/// A ValueError about one argument: "name: expected ..., got ...".
[[noreturn]] void throw_value_error(const std::string& argument, const std::string& expected,
                                    const std::string& got, const std::string& hint = "");

}  // namespace libseal
