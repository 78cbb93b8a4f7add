-- Store of a shop, version 1: coaches, joints, findings, work done, calendars.
-- The same text for SQLite and PostgreSQL. Statements end with a semicolon at the end of a line.
-- Days are DATE (SQLite keeps them as text, 2026-05-01); numbers that are not known are NULL; lengths are metres;
-- lists are text, one entry a line; paths are "u v; u v". "position" keeps the order in which things were given.

-- Which version of this file made the tables. One row.
CREATE TABLE libseal_store (
    "version" INTEGER NOT NULL
);

-- A coach as delivered. Its other tables name it.
CREATE TABLE coaches (
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "model_line" TEXT NOT NULL,
    "model_year" INTEGER NOT NULL,
    "owner" TEXT NOT NULL,
    "length_m" DOUBLE PRECISION,
    "width_m" DOUBLE PRECISION,
    "floor_height_m" DOUBLE PRECISION,
    "roof_height_m" DOUBLE PRECISION,
    PRIMARY KEY ("coach")
);

-- Flat pieces of the outside.
CREATE TABLE surfaces (
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "surface" TEXT NOT NULL,
    "slide" TEXT NOT NULL,
    "low_u_m" DOUBLE PRECISION,
    "low_v_m" DOUBLE PRECISION,
    "high_u_m" DOUBLE PRECISION,
    "high_v_m" DOUBLE PRECISION,
    "substrate" TEXT NOT NULL,
    "finish" TEXT NOT NULL,
    "outline_m" TEXT NOT NULL,
    PRIMARY KEY ("coach", "surface", "slide"),
    FOREIGN KEY ("coach") REFERENCES coaches ("coach")
);

-- What is fitted to the outside: vents, windows, slide-outs.
CREATE TABLE parts (
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "surface" TEXT NOT NULL,
    "slide" TEXT NOT NULL,
    "low_u_m" DOUBLE PRECISION,
    "low_v_m" DOUBLE PRECISION,
    "high_u_m" DOUBLE PRECISION,
    "high_v_m" DOUBLE PRECISION,
    "label" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    PRIMARY KEY ("coach", "part"),
    FOREIGN KEY ("coach") REFERENCES coaches ("coach")
);

-- Joints between parts, with bead and path.
CREATE TABLE joints (
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "joint" TEXT NOT NULL,
    "type" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "surface" TEXT NOT NULL,
    "slide" TEXT NOT NULL,
    "path_m" TEXT NOT NULL,
    "length_m" DOUBLE PRECISION,
    "bead_profile" TEXT NOT NULL,
    "bead_width_m" DOUBLE PRECISION,
    "bead_thickness_m" DOUBLE PRECISION,
    "screw_spacing_m" DOUBLE PRECISION,
    "substrates" TEXT NOT NULL,
    "open_edge" TEXT NOT NULL,
    PRIMARY KEY ("coach", "joint"),
    FOREIGN KEY ("coach") REFERENCES coaches ("coach")
);

-- Layers of a joint as delivered; work done gives them new generations when a forecast reads it.
CREATE TABLE layers (
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "joint" TEXT NOT NULL,
    "layer" TEXT NOT NULL,
    "family" TEXT NOT NULL,
    "installed_from" DATE NOT NULL,
    "installed_to" DATE NOT NULL,
    "generation" INTEGER NOT NULL,
    PRIMARY KEY ("coach", "joint", "layer"),
    FOREIGN KEY ("coach", "joint") REFERENCES joints ("coach", "joint")
);

-- Where a coach stood, from (counted) to (not counted).
CREATE TABLE stays (
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "stay_from" DATE NOT NULL,
    "stay_to" DATE NOT NULL,
    "place" TEXT NOT NULL,
    "station" TEXT NOT NULL,
    "latitude_deg" DOUBLE PRECISION,
    "longitude_deg" DOUBLE PRECISION,
    "cover" TEXT NOT NULL,
    "heading_deg" DOUBLE PRECISION,
    PRIMARY KEY ("coach", "stay_from"),
    FOREIGN KEY ("coach") REFERENCES coaches ("coach")
);

-- History of findings: never deleted by the library.
CREATE TABLE findings (
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "joint" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "segment" TEXT NOT NULL,
    "layer" TEXT NOT NULL,
    "sign" TEXT NOT NULL,
    "date" DATE NOT NULL,
    "value" DOUBLE PRECISION,
    "unit" TEXT NOT NULL,
    "size" TEXT NOT NULL,
    "share_percent" DOUBLE PRECISION,
    "reaches_fastener" BOOLEAN NOT NULL,
    "bedding_seen" TEXT NOT NULL,
    "moisture_percent" DOUBLE PRECISION,
    "moisture_dry_percent" DOUBLE PRECISION,
    "inspector" TEXT NOT NULL,
    "photo" TEXT NOT NULL,
    "note" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    PRIMARY KEY ("coach", "joint", "part", "segment", "layer", "sign", "date"),
    FOREIGN KEY ("coach") REFERENCES coaches ("coach")
);

-- History of work, declined work too.
CREATE TABLE work_done (
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "joint" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "layer" TEXT NOT NULL,
    "date" DATE NOT NULL,
    "action" TEXT NOT NULL,
    "family" TEXT NOT NULL,
    "minutes" DOUBLE PRECISION,
    "who" TEXT NOT NULL,
    "declined" BOOLEAN NOT NULL,
    PRIMARY KEY ("coach", "joint", "part", "layer", "date", "action"),
    FOREIGN KEY ("coach") REFERENCES coaches ("coach")
);

-- Calendars that were made; the key is year, day of making and shop.
CREATE TABLE calendars (
    "calendar" TEXT NOT NULL,
    "year" INTEGER NOT NULL,
    "as_of" DATE NOT NULL,
    "shop" TEXT NOT NULL,
    "currency" TEXT NOT NULL,
    "changes" TEXT NOT NULL,
    "moving_cost" DOUBLE PRECISION,
    "bound" DOUBLE PRECISION,
    "gap" DOUBLE PRECISION,
    "closing" TEXT NOT NULL,
    PRIMARY KEY ("calendar")
);

-- Visits of a calendar.
CREATE TABLE visits (
    "calendar" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "uid" TEXT NOT NULL,
    "sequence" INTEGER NOT NULL,
    "cancelled" BOOLEAN NOT NULL,
    "kind" TEXT NOT NULL,
    "coach" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "owner" TEXT NOT NULL,
    "first" DATE NOT NULL,
    "last" DATE NOT NULL,
    "bay" INTEGER NOT NULL,
    "window_from" DATE NOT NULL,
    "window_to" DATE NOT NULL,
    "minutes_low" DOUBLE PRECISION,
    "minutes_mode" DOUBLE PRECISION,
    "minutes_high" DOUBLE PRECISION,
    "cost_low" DOUBLE PRECISION,
    "cost_mode" DOUBLE PRECISION,
    "cost_high" DOUBLE PRECISION,
    "why" TEXT NOT NULL,
    "flags" TEXT NOT NULL,
    "cautions" TEXT NOT NULL,
    "day_minutes" TEXT NOT NULL,
    PRIMARY KEY ("calendar", "uid"),
    FOREIGN KEY ("calendar") REFERENCES calendars ("calendar") ON DELETE CASCADE
);

-- What is done on a visit.
CREATE TABLE tasks (
    "calendar" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "uid" TEXT NOT NULL,
    "joint" TEXT NOT NULL,
    "layer" TEXT NOT NULL,
    "generation" INTEGER NOT NULL,
    "action" TEXT NOT NULL,
    "family" TEXT NOT NULL,
    "due" DATE NOT NULL,
    "urgency" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "late" BOOLEAN NOT NULL,
    "best_date" DATE,
    "moved" TEXT NOT NULL,
    PRIMARY KEY ("calendar", "uid", "position"),
    FOREIGN KEY ("calendar", "uid") REFERENCES visits ("calendar", "uid") ON DELETE CASCADE
);

-- What found no place in a calendar.
CREATE TABLE unplaced (
    "calendar" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "coach" TEXT NOT NULL,
    "joint" TEXT NOT NULL,
    "action" TEXT NOT NULL,
    "due" DATE NOT NULL,
    "constraint" TEXT NOT NULL,
    "relaxation" TEXT NOT NULL,
    PRIMARY KEY ("calendar", "position"),
    FOREIGN KEY ("calendar") REFERENCES calendars ("calendar") ON DELETE CASCADE
);

-- Weeks of a calendar with the hours booked and there.
CREATE TABLE weeks (
    "calendar" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "start" DATE NOT NULL,
    "booked_h" DOUBLE PRECISION,
    "capacity_h" DOUBLE PRECISION,
    "overtime_h" DOUBLE PRECISION,
    "overtime_limit_h" DOUBLE PRECISION,
    PRIMARY KEY ("calendar", "position"),
    FOREIGN KEY ("calendar") REFERENCES calendars ("calendar") ON DELETE CASCADE
);

-- What is asked most: the visits of some days.
CREATE INDEX visits_by_day ON visits ("first");
