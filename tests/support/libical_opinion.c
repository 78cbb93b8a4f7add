/* What libical thinks of the iCalendar text on standard input: one line a fault, one line an entry. */
#include <libical/ical.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void print_hex(const char *text) {
    for (; text && *text; ++text) printf("%02x", (unsigned char)*text);
}

static void print_entry(icalcomponent *entry) {
    const struct icaltimetype start = icalcomponent_get_dtstart(entry), end = icalcomponent_get_dtend(entry);
    printf("entry ");
    print_hex(icalcomponent_get_uid(entry));
    printf(" %s", icaltime_is_null_time(start) ? "-" : icaltime_as_ical_string(start));
    printf(" %s ", icaltime_is_null_time(end) ? "-" : icaltime_as_ical_string(end));
    print_hex(icalcomponent_get_summary(entry));
    printf(" ");
    print_hex(icalcomponent_get_description(entry));
    printf("\n");
}

static void walk(icalcomponent *component) {
    icalproperty *property = icalcomponent_get_first_property(component, ICAL_XLICERROR_PROPERTY);
    for (; property; property = icalcomponent_get_next_property(component, ICAL_XLICERROR_PROPERTY))
        printf("fault %s\n", icalproperty_get_xlicerror(property));
    if (icalcomponent_isa(component) == ICAL_VEVENT_COMPONENT) print_entry(component);
    icalcomponent *inner = icalcomponent_get_first_component(component, ICAL_ANY_COMPONENT);
    for (; inner; inner = icalcomponent_get_next_component(component, ICAL_ANY_COMPONENT)) walk(inner);
}

int main(void) {
    size_t size = 0, room = 1 << 16, got;
    char *text = malloc(room);
    while ((got = fread(text + size, 1, room - size - 1, stdin)) > 0) {
        size += got;
        if (size + 1 == room) text = realloc(text, room *= 2);
    }
    text[size] = 0;
    icalcomponent *whole = icalparser_parse_string(text);
    if (!whole) {
        printf("fault nothing could be read\n");
        return 0;
    }
    if (!icalrestriction_check(whole)) printf("fault restriction\n");
    walk(whole);
    icalcomponent_free(whole);
    free(text);
    return 0;
}
