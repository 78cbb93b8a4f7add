#include "support/life_data.hpp"

#include <stdexcept>

namespace libseal_test {

using libseal::Column;
using libseal::FitOptions;
using libseal::LifeFit;

LifeFit fit(const LifeTable& table, FitOptions options) {
    const auto column = [](const std::vector<double>& values) {
        return Column(Eigen::Map<const Column>(values.data(), static_cast<Eigen::Index>(values.size())));
    };
    options.weights = column(table.weights);
    const auto rows = static_cast<Eigen::Index>(table.lower.size());
    const auto columns = static_cast<Eigen::Index>(table.covariates.empty() ? 0 : table.covariates[0].size());
    options.covariates.resize(rows, columns);
    for (Eigen::Index i = 0; i < rows; ++i)
        for (Eigen::Index j = 0; j < columns; ++j)
            options.covariates(i, j) = table.covariates[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
    return libseal::fit_life(column(table.lower), column(table.upper), options);
}

LifeFit fit(const LifeTable& table, const std::string& distribution) {
    FitOptions options;
    options.distribution = distribution;
    return fit(table, options);
}

double parameter(const LifeFit& fit, const std::string& wanted) {
    for (const auto& [name, value] : fit.parameters())
        if (name == wanted) return value;
    throw std::runtime_error("no parameter " + wanted);
}

LifeTable shock_absorbers() {
    LifeTable t;
    t.failed({6700, 9120, 12200, 13150, 14300, 17520, 20100, 20900, 22700, 26510, 27490});
    t.sound({6950,  7820,  8790,  9660,  9820,  11310, 11690, 11850, 11880, 12140, 12870, 13330, 13470, 14040,
             17540, 17890, 18450, 18960, 18980, 19410, 20100, 20150, 20320, 23490, 27410, 27890, 28100});
    return t;
}

LifeTable part_cracks() {
    LifeTable t;
    const double end[] = {6.12, 19.92, 29.64, 35.40, 39.72, 45.24, 52.32, 63.48};
    const double count[] = {5, 16, 12, 18, 18, 2, 6, 17};
    for (std::size_t i = 0; i < 8; ++i) t.add(i ? end[i - 1] : 0, end[i], count[i]);
    t.add(63.48, never, 73);
    return t;
}

LifeTable exchanger_tubes() {
    LifeTable t;
    t.add(0, 1, 1 + 2 + 1);
    t.add(1, 2, 2 + 3);
    t.add(2, 3, 2);
    t.add(3, never, 95);
    t.add(2, never, 95);
    t.add(1, never, 99);
    return t;
}

LifeTable diesel_fans() {
    LifeTable t;
    t.failed({450, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750});
    t.sound({460, 1560, 1660, 2200, 3200, 6300, 6700, 7450, 8200, 9400, 9900, 11500});
    const std::pair<double, double> many[] = {{1850, 5}, {2030, 3}, {3000, 4}, {3750, 2}, {4150, 4}, {4300, 4}, {4850, 4}, {5000, 3},
                                              {6100, 3}, {6450, 2}, {7800, 2}, {8100, 2}, {8500, 3}, {8750, 2}, {10100, 3}};
    for (const auto& [time, count] : many) t.add(time, never, count);
    return t;
}

LifeTable leukaemia() {
    LifeTable t;
    t.failed({6, 6, 6, 7, 10, 13, 16, 22, 23}, {1});
    t.sound({6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35}, {1});
    t.failed({1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23}, {0});
    return t;
}

LifeTable motor_insulation() {
    LifeTable t;
    t.add(8064, never, 10, {150});
    t.failed({1764, 2772, 3444, 3542, 3780, 4860, 5196}, {170});
    t.add(5448, never, 3, {170});
    t.failed({408, 408, 1344, 1344, 1440}, {190});
    t.add(1680, never, 5, {190});
    t.failed({408, 408, 504, 504, 504}, {220});
    t.add(528, never, 5, {220});
    return t;
}

LifeTable glass_capacitors() {
    struct Cell {
        double degrees, volts, time[4];
    };
    LifeTable t;
    for (const Cell& cell : {Cell{170, 200, {439, 904, 1092, 1105}}, Cell{170, 250, {572, 690, 904, 1090}}, Cell{170, 300, {315, 315, 439, 628}},
                             Cell{170, 350, {258, 258, 347, 588}}, Cell{180, 200, {959, 1065, 1065, 1087}}, Cell{180, 250, {216, 315, 455, 473}},
                             Cell{180, 300, {241, 315, 332, 380}}, Cell{180, 350, {241, 241, 435, 455}}}) {
        for (const double time : cell.time) t.add(time, time, 1, {cell.degrees, cell.volts});
        t.add(cell.time[3], never, 4, {cell.degrees, cell.volts});
    }
    return t;
}

LifeTable cosmesis() {
    LifeTable t;
    const std::pair<double, double> radiation[] = {
        {45, never}, {6, 10},     {0, 7},      {46, never}, {46, never}, {7, 16},     {17, never}, {7, 14},     {37, 44},    {0, 8},
        {4, 11},     {15, never}, {11, 15},    {22, never}, {46, never}, {46, never}, {25, 37},    {46, never}, {26, 40},    {46, never},
        {27, 34},    {36, 44},    {46, never}, {36, 48},    {37, never}, {40, never}, {17, 25},    {46, never}, {11, 18},    {38, never},
        {5, 12},     {37, never}, {0, 5},      {18, never}, {24, never}, {36, never}, {5, 11},     {19, 35},    {17, 25},    {24, never},
        {32, never}, {33, never}, {19, 26},    {37, never}, {34, never}, {36, never}};
    const std::pair<double, double> both[] = {
        {8, 12},     {0, 22},     {24, 31},    {17, 27},    {17, 23},    {24, 30}, {16, 24},    {13, never}, {11, 13}, {16, 20},
        {18, 25},    {17, 26},    {32, never}, {23, never}, {44, 48},    {14, 17}, {0, 5},      {5, 8},      {12, 20}, {11, never},
        {33, 40},    {31, never}, {13, 39},    {19, 32},    {34, never}, {13, never}, {16, 24}, {35, never}, {15, 22}, {11, 17},
        {22, 32},    {10, 35},    {30, 34},    {13, never}, {10, 17},    {8, 21},  {4, 9},      {11, never}, {14, 19}, {4, 8},
        {34, never}, {30, 36},    {18, 24},    {16, 60},    {35, 39},    {21, never}, {11, 20}, {48, never}};
    for (const auto& [low, high] : radiation) t.add(low, high, 1, {0});
    for (const auto& [low, high] : both) t.add(low, high, 1, {1});
    return t;
}

LifeTable ovarian() {
    LifeTable t;
    struct Patient {
        double days;
        bool died;
        double rx, status;
    };
    for (const Patient& p : {Patient{59, true, 1, 1}, Patient{115, true, 1, 1}, Patient{156, true, 1, 2}, Patient{421, false, 2, 1},
                             Patient{431, true, 1, 1}, Patient{448, false, 1, 2}, Patient{464, true, 2, 2}, Patient{475, true, 2, 2},
                             Patient{477, false, 1, 1}, Patient{563, true, 2, 2}, Patient{638, true, 1, 2}, Patient{744, false, 2, 1},
                             Patient{769, false, 2, 2}, Patient{770, false, 2, 1}, Patient{803, false, 1, 1}, Patient{855, false, 1, 2},
                             Patient{1040, false, 1, 2}, Patient{1106, false, 1, 1}, Patient{1129, false, 2, 1}, Patient{1206, false, 2, 1},
                             Patient{1227, false, 2, 2}, Patient{268, true, 1, 2}, Patient{329, true, 1, 1}, Patient{353, true, 2, 2},
                             Patient{365, true, 2, 1}, Patient{377, false, 2, 1}})
        t.add(p.days, p.died ? p.days : never, 1, {p.status, p.rx});
    return t;
}

LifeTable four_kinds() {
    LifeTable t;
    t.failed({3.2, 5.1});
    t.sound({4, 6, 6});
    t.add(0, 2.5);
    t.add(3, 5);
    t.add(5, 7);
    return t;
}

}  // namespace libseal_test
