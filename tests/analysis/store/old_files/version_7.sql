BEGIN TRANSACTION;
CREATE TABLE athlete (
	id TEXT NOT NULL, 
	code TEXT NOT NULL, 
	sex TEXT, 
	stature_m REAL, 
	mass_kg REAL, 
	age TEXT, 
	sport TEXT, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE band (
	band_table_id TEXT NOT NULL, 
	position INTEGER NOT NULL, 
	measure TEXT NOT NULL, 
	moment TEXT NOT NULL, 
	first_step INTEGER NOT NULL, 
	last_step INTEGER, 
	low REAL, 
	high REAL, 
	source TEXT NOT NULL, 
	better TEXT CHECK (better IN ('higher', 'lower')), 
	PRIMARY KEY (band_table_id, position), 
	FOREIGN KEY(band_table_id) REFERENCES band_table (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE band_table (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	origin TEXT NOT NULL, 
	sex TEXT, 
	sport TEXT, 
	age TEXT, 
	stance TEXT, 
	athlete_id TEXT, 
	runs INTEGER NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(athlete_id) REFERENCES athlete (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE camera_place (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	lens_k1 REAL, 
	lens_focal_px REAL, 
	lens_u REAL, 
	lens_v REAL, 
	lens_k1_u REAL, 
	distance_m REAL, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE camera_place_mark (
	camera_place_id TEXT NOT NULL, 
	id TEXT NOT NULL, 
	x_m REAL NOT NULL, 
	y_m REAL NOT NULL, 
	z_m REAL NOT NULL, 
	u REAL NOT NULL, 
	v REAL NOT NULL, 
	error_px REAL NOT NULL, 
	error_m REAL NOT NULL, 
	PRIMARY KEY (camera_place_id, id), 
	FOREIGN KEY(camera_place_id) REFERENCES camera_place (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE consent (
	id TEXT NOT NULL, 
	athlete_id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(athlete_id) REFERENCES athlete (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE day (
	id TEXT NOT NULL, 
	date TEXT NOT NULL, 
	athlete_ids TEXT NOT NULL, 
	question TEXT, 
	minutes REAL, 
	stations INTEGER NOT NULL, 
	notes TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE drill (
	id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE drill_film (
	id TEXT NOT NULL, 
	run_id TEXT NOT NULL, 
	day_id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(run_id) REFERENCES run (id) DEFERRABLE INITIALLY DEFERRED, 
	FOREIGN KEY(day_id) REFERENCES day (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE face_cover (
	id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE film (
	id TEXT NOT NULL, 
	path TEXT NOT NULL, 
	fingerprint TEXT NOT NULL, 
	coach_rate_hz REAL, 
	times_pts BLOB, 
	time_base TEXT, 
	width INTEGER, 
	height INTEGER, 
	every INTEGER, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE film_camera (
	film_id TEXT NOT NULL, 
	kind TEXT CHECK (kind IN ('still', 'turning', 'walking')), 
	reference INTEGER CHECK (reference >= 0), 
	reference_pts INTEGER, 
	first INTEGER CHECK (first >= 0), 
	first_pts INTEGER, 
	maps BLOB, 
	error_px BLOB, 
	parallax_px REAL, 
	lens_k1 REAL, 
	lens_focal_px REAL, 
	lens_u REAL, 
	lens_v REAL, 
	lens_k1_u REAL, 
	to_place BLOB NOT NULL, 
	to_place_error_px REAL NOT NULL, 
	path_lens_k1 REAL, 
	path_lens_focal_px REAL, 
	path_lens_u REAL, 
	path_lens_v REAL, 
	path_lens_k1_u REAL, 
	PRIMARY KEY (film_id), 
	FOREIGN KEY(film_id) REFERENCES film (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE footfall (
	run_id TEXT NOT NULL, 
	id TEXT NOT NULL, 
	side TEXT NOT NULL CHECK (side IN ('left', 'right')), 
	touchdown INTEGER CHECK (touchdown >= 0), 
	touchdown_pts INTEGER, 
	toe_off INTEGER CHECK (toe_off >= 0), 
	toe_off_pts INTEGER, 
	unsure_frames INTEGER, 
	draft INTEGER NOT NULL CHECK (draft IN (0, 1)), 
	confidence REAL, 
	PRIMARY KEY (run_id, id), 
	FOREIGN KEY(run_id) REFERENCES run (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE gate_time (
	id TEXT NOT NULL, 
	athlete_id TEXT NOT NULL, 
	date TEXT NOT NULL, 
	distance_m REAL NOT NULL, 
	time_s REAL NOT NULL, 
	note TEXT NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(athlete_id) REFERENCES athlete (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE line (
	run_id TEXT NOT NULL, 
	id TEXT NOT NULL, 
	frame INTEGER NOT NULL CHECK (frame >= 0), 
	frame_pts INTEGER, 
	kind TEXT NOT NULL CHECK (kind IN ('trunk', 'shin', 'thigh', 'free')), 
	side TEXT CHECK (side IN ('left', 'right')), 
	lower_u REAL NOT NULL, 
	lower_v REAL NOT NULL, 
	upper_u REAL NOT NULL, 
	upper_v REAL NOT NULL, 
	error_px REAL NOT NULL, 
	PRIMARY KEY (run_id, id), 
	FOREIGN KEY(run_id) REFERENCES run (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE mark (
	run_id TEXT NOT NULL, 
	id TEXT NOT NULL, 
	x_m REAL NOT NULL, 
	y_m REAL NOT NULL, 
	frame INTEGER NOT NULL CHECK (frame >= 0), 
	frame_pts INTEGER, 
	u REAL NOT NULL, 
	v REAL NOT NULL, 
	error_px REAL NOT NULL, 
	error_m REAL DEFAULT 0 NOT NULL, 
	z_m REAL DEFAULT 0 NOT NULL, 
	PRIMARY KEY (run_id, id), 
	FOREIGN KEY(run_id) REFERENCES run (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE narration (
	id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE planned_drill (
	day_id TEXT NOT NULL, 
	position INTEGER NOT NULL, 
	id TEXT NOT NULL, 
	drill_id TEXT NOT NULL, 
	block TEXT NOT NULL, 
	sets INTEGER NOT NULL, 
	reps INTEGER NOT NULL, 
	rest_s REAL NOT NULL, 
	load TEXT NOT NULL, 
	cue TEXT NOT NULL, 
	loads TEXT NOT NULL, 
	PRIMARY KEY (day_id, position), 
	FOREIGN KEY(day_id) REFERENCES day (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE point (
	run_id TEXT NOT NULL, 
	frame INTEGER NOT NULL CHECK (frame >= 0), 
	frame_pts INTEGER, 
	name TEXT NOT NULL, 
	u REAL NOT NULL, 
	v REAL NOT NULL, 
	error_px REAL NOT NULL, 
	PRIMARY KEY (run_id, frame, name), 
	FOREIGN KEY(run_id) REFERENCES run (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE recording (
	id TEXT NOT NULL, 
	sound BLOB NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE report_place (
	run_id TEXT NOT NULL, 
	position INTEGER NOT NULL, 
	x_m REAL NOT NULL, 
	PRIMARY KEY (run_id, position), 
	FOREIGN KEY(run_id) REFERENCES run (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE run (
	id TEXT NOT NULL, 
	film_id TEXT NOT NULL, 
	athlete_id TEXT, 
	name TEXT NOT NULL, 
	first_frame INTEGER NOT NULL CHECK (first_frame >= 0), 
	first_frame_pts INTEGER, 
	last_frame INTEGER NOT NULL CHECK (last_frame >= 0), 
	last_frame_pts INTEGER, 
	direction TEXT NOT NULL CHECK (direction IN ('left', 'right')), 
	camera_distance_m REAL, 
	notes TEXT NOT NULL, 
	unknown_keys TEXT NOT NULL, 
	first_movement INTEGER CHECK (first_movement >= 0), 
	first_movement_pts INTEGER, 
	rear_toe_off INTEGER CHECK (rear_toe_off >= 0), 
	rear_toe_off_pts INTEGER, 
	front_toe_off INTEGER CHECK (front_toe_off >= 0), 
	front_toe_off_pts INTEGER, 
	front_side TEXT CHECK (front_side IN ('left', 'right')), 
	lane_offset_m REAL, 
	lane_offset_u_m REAL, 
	camera_place_id TEXT, 
	count_drafts INTEGER DEFAULT 0 NOT NULL, 
	start_drafts TEXT DEFAULT '' NOT NULL, 
	retags TEXT, 
	day TEXT DEFAULT '' NOT NULL, 
	stance TEXT, 
	load_kg REAL, 
	surface TEXT DEFAULT '' NOT NULL, 
	shoe TEXT DEFAULT '' NOT NULL, 
	wind_m_s REAL, 
	rep INTEGER, 
	cue TEXT DEFAULT '' NOT NULL, 
	named_good INTEGER DEFAULT 0 NOT NULL, 
	overruled_question TEXT, 
	overruled_reason TEXT, 
	of_drill INTEGER DEFAULT 0 NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(film_id) REFERENCES film (id) DEFERRABLE INITIALLY DEFERRED, 
	FOREIGN KEY(athlete_id) REFERENCES athlete (id) DEFERRABLE INITIALLY DEFERRED, 
	FOREIGN KEY(camera_place_id) REFERENCES camera_place (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
CREATE TABLE tagging (
	id TEXT NOT NULL, 
	coach TEXT NOT NULL, 
	s_s REAL NOT NULL, 
	pairs INTEGER NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
CREATE TABLE tracks (
	"key" TEXT NOT NULL, 
	run_id TEXT NOT NULL, 
	kept INTEGER NOT NULL, 
	content BLOB NOT NULL, 
	PRIMARY KEY ("key")
)
 STRICT

;
CREATE INDEX ix_tracks_run_id ON tracks (run_id);
CREATE INDEX ix_run_film_id ON run (film_id);
CREATE INDEX ix_run_athlete_id ON run (athlete_id);
CREATE INDEX ix_run_camera_place_id ON run (camera_place_id);
CREATE INDEX ix_band_table_athlete_id ON band_table (athlete_id);
CREATE INDEX ix_consent_athlete_id ON consent (athlete_id);
CREATE INDEX ix_gate_time_athlete_id ON gate_time (athlete_id);
CREATE INDEX ix_drill_film_day_id ON drill_film (day_id);
CREATE INDEX ix_drill_film_run_id ON drill_film (run_id);
COMMIT;
PRAGMA application_id = 1129202764;
PRAGMA user_version = 7;
