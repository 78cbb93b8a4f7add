#include "ageing/contracted_history.hpp"

#include <algorithm>
#include <cmath>

#include "kernel/kernels.hpp"

namespace libseal::detail {
namespace {

bool same_way(double from, double to, double next) { return (from < to && to < next) || (next < to && to < from); }

/// Of turning points of a history that is to come back to its begin: those of one turn from its highest point back to it.
/// @return  How many; one may be new.
std::size_t turn_to_top(double* points, std::size_t size, double begin) {
    const double end = points[size - 1];
    if (same_way(points[size - 2], end, begin)) points[size - 1] = begin;
    else if (end != begin) points[size++] = begin;
    // Begin and end are one point now, and no turn if it lies within a slope.
    const bool within = same_way(points[size - 2], begin, points[1]);
    double* first = points + (within ? 1 : 0);
    double* last = points + size - 1;
    std::rotate(first, std::max_element(first, last), last);
    std::copy(first, last, points);
    const auto turns = static_cast<std::size_t>(last - first);
    points[turns] = points[0];
    return turns + 1;
}

}  // namespace

void ContractedHistory::make_room(std::size_t size) {
    if (size + 1 <= room_) return;
    room_ = size + 1;
    // In one piece; neither zeroed nor touched where it is not needed.
    memory_.reset(new double[2 * (room_ + kernel::rainflow_room)]);
    points_ = memory_.get();
    ranges_ = points_ + room_ + kernel::rainflow_room;
}

void ContractedHistory::contract(std::size_t size) {
    const std::size_t now = kernel::kernels().rainflow.contraction(points_, size, ranges_ + closed_);
    closed_ += now;
    point_count_ = size - 2 * now;
}

void ContractedHistory::measure_open() {
    // They find room beside the closed ones, which took two points each.
    double* open = ranges_ + closed_;
    double largest = 0;
    for (std::size_t i = 1; i < point_count_; ++i) {
        open[i - 1] = std::abs(points_[i] - points_[i - 1]);
        largest = std::max(largest, open[i - 1]);
    }
    largest_ = largest;
}

bool ContractedHistory::count(ConstColumn series) {
    closed_ = point_count_ = 0;
    const auto size = static_cast<std::size_t>(series.size());
    if (size == 0) return true;
    make_room(size);
    const std::size_t turns = kernel::kernels().rainflow.turning_points(series.data(), size, points_);
    if (turns > size) return false;
    contract(turns);
    measure_open();
    return true;
}

bool ContractedHistory::count_repeating(ConstColumn series) {
    if (!count(series)) return false;
    if (point_count_ == 0) return true;
    contract(turn_to_top(points_, point_count_, series[0]));
    measure_open();
    return true;
}

std::vector<std::size_t> ContractedHistory::places(ConstColumn series) const {
    std::vector<std::size_t> places(point_count_);
    kernel::kernels().rainflow.last_places(series.data(), static_cast<std::size_t>(series.size()), points_, point_count_,
                                           places.data());
    return places;
}

double ContractedHistory::power_sum(const double* ranges, std::size_t size, double exponent) const {
    // Within reach of the kernel's exponentials for the largest, of which smaller ones are then a small part.
    const bool product = exponent == std::floor(exponent) && exponent <= 8;
    if (product || std::abs(exponent * std::log(largest_)) < 600) return kernel::kernels().rainflow.power_sum(ranges, size, exponent);
    double sum = 0;
    for (std::size_t i = 0; i < size; ++i) sum += std::pow(ranges[i], exponent);
    return sum;
}

double ContractedHistory::moment(double exponent) const {
    if (point_count_ == 0) return 0;
    return power_sum(ranges_, closed_, exponent) + 0.5 * power_sum(ranges_ + closed_, point_count_ - 1, exponent);
}

}  // namespace libseal::detail
