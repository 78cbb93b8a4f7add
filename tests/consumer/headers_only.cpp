// A program that takes the headers alone and links nothing.

#include "libseal/core/columns.hpp"
#include "libseal/core/date.hpp"

int main() {
    const libseal::Date day = libseal::date_of(-1) + 1;  // the last second of 1969 lies on the day before day 0
    libseal::Column hours = libseal::Column::Constant(24, 0.5);
    return day.days == 0 && hours.sum() == 12 ? 0 : 1;
}
