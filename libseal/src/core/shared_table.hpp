#pragma once
// Shared things by key, of which many are asked for at a time: a large table lies outside the cache, so that what is asked for next
// comes from memory while others are looked at.

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <memory>
#include <vector>

namespace libseal::detail {

/// Things are only added. @threads  one at a time.
template <class Key, class Value, class Hash>
class SharedTable {
public:
    std::size_t size() const { return entries_.size(); }

    /// Null if it is not there.
    std::shared_ptr<const Value> find(const Key& key) const {
        const Entry* entry = entry_of(key, Hash{}(key));
        return entry ? entry->value : nullptr;
    }

    /// Keeps `value` unless the key has one.
    void add(const Key& key, std::shared_ptr<const Value> value) {
        const std::size_t hash = Hash{}(key);
        if (entry_of(key, hash)) return;
        if (2 * (entries_.size() + 1) > slots_.size()) grow();
        entries_.push_back({key, std::move(value)});
        put(hash, static_cast<std::uint32_t>(entries_.size()));
    }

    /// What `find` says of each of `count` keys. @param key  key(i); a reference that the next call may overwrite.
    template <class KeyAt>
    std::vector<std::shared_ptr<const Value>> find_all(std::size_t count, const KeyAt& key) const {
        std::vector<std::shared_ptr<const Value>> found(count);
        if (entries_.empty()) return found;
        constexpr std::size_t together = 64;
        std::array<std::size_t, together> hash;
        std::array<const Entry*, together> likely;
        for (std::size_t first = 0; first < count; first += together) {
            const std::size_t n = std::min(together, count - first);
            for (std::size_t i = 0; i < n; ++i) {
                hash[i] = Hash{}(key(first + i));
                __builtin_prefetch(slots_.data() + place(hash[i]));
            }
            for (std::size_t i = 0; i < n; ++i) fetch(likely[i] = likely_entry(hash[i]), sizeof(Entry));
            for (std::size_t i = 0; i < n; ++i)
                if (likely[i]) fetch(likely[i]->value.get(), sizeof(Value));
            for (std::size_t i = 0; i < n; ++i)
                if (const Entry* entry = likely[i] ? entry_of(key(first + i), hash[i]) : nullptr) found[first + i] = entry->value;
        }
        return found;
    }

private:
    struct Entry {
        Key key;
        std::shared_ptr<const Value> value;
    };
    struct Slot {
        std::uint32_t mark = 0;    ///< upper half of the hash
        std::uint32_t number = 0;  ///< of the entry, from 1; 0: free
    };
    static std::uint32_t mark_of(std::size_t hash) { return static_cast<std::uint32_t>(static_cast<std::uint64_t>(hash) >> 32); }
    std::size_t place(std::size_t hash) const { return hash & (slots_.size() - 1); }
    std::size_t after(std::size_t slot) const { return (slot + 1) & (slots_.size() - 1); }

    static void fetch(const void* start, std::size_t size) {
        constexpr std::size_t line = 64;
        for (std::size_t at = 0; start && at < size; at += line) __builtin_prefetch(static_cast<const char*>(start) + at);
    }

    /// First entry whose hash has the same mark.
    const Entry* likely_entry(std::size_t hash) const {
        for (std::size_t slot = place(hash); slots_[slot].number; slot = after(slot))
            if (slots_[slot].mark == mark_of(hash)) return &entries_[slots_[slot].number - 1];
        return nullptr;
    }

    const Entry* entry_of(const Key& key, std::size_t hash) const {
        if (entries_.empty()) return nullptr;
        for (std::size_t slot = place(hash); slots_[slot].number; slot = after(slot)) {
            if (slots_[slot].mark != mark_of(hash)) continue;
            const Entry& entry = entries_[slots_[slot].number - 1];
            if (entry.key == key) return &entry;
        }
        return nullptr;
    }

    void put(std::size_t hash, std::uint32_t number) {
        std::size_t slot = place(hash);
        while (slots_[slot].number) slot = after(slot);
        slots_[slot] = {mark_of(hash), number};
    }

    void grow() {
        slots_.assign(std::max<std::size_t>(64, 2 * slots_.size()), {});
        for (std::size_t i = 0; i < entries_.size(); ++i) put(Hash{}(entries_[i].key), static_cast<std::uint32_t>(i + 1));
    }

    std::vector<Slot> slots_;    ///< a power of two of them, at most half taken
    std::deque<Entry> entries_;  ///< in the order of adding
};

}  // namespace libseal::detail
