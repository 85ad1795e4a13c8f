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
INSERT INTO "athlete" VALUES('a19.32','b0
	''','female',NULL,NULL,NULL,'	🏃=;');
INSERT INTO "athlete" VALUES('a19.33','%','female',3.00000000000000044408e-01,NULL,'youth','ZЖ,=é%');
INSERT INTO "athlete" VALUES('a19.87','-''@','male',NULL,3.32413972549867935417e+01,NULL,'');
INSERT INTO "athlete" VALUES('a19.158','🏃中éß
b',NULL,NULL,-5.15747338795154370389e-279,NULL,NULL);
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
INSERT INTO "band" VALUES('b19.152',0,'9‏b','touchdown',5,NULL,NULL,3.00000000000000044408e-01,'-','higher');
INSERT INTO "band" VALUES('b19.152',1,'a"é','push',4,NULL,NULL,4.94065645841247e-324,'ßa  ‏-@','higher');
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
INSERT INTO "band_table" VALUES('b19.152','Ж,@
==',3,'starting','male',NULL,NULL,NULL,NULL,75);
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
INSERT INTO "camera_place" VALUES('place19.11','ZЖ""	%9',NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "camera_place" VALUES('place19.86','Z
-,%',4.94065645841247e-324,4.94065645841247e-324,-9.98218854943644657868e+01,1.55088695894004133506e+303,4.94065645841247e-324,NULL);
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
INSERT INTO "camera_place_mark" VALUES('place19.11','m19.78',-2.40644613658283252179e-138,3.00000000000000044408e-01,-1.60348591335630799008e+241,4.94065645841247e-324,4.94065645841247e-324,1.18365881451176108824e-40,-6.25790282863926299906e-180);
INSERT INTO "camera_place_mark" VALUES('place19.11','m19.77',4.94065645841247e-324,5.84617057646120377549e-204,2.46681838616651418752e+02,2.33199595492239071547e+234,4.94065645841247e-324,3.00000000000000044408e-01,1.75303174121066149379e+03);
INSERT INTO "camera_place_mark" VALUES('place19.11','m19.79',3.00000000000000044408e-01,1.35950542721257170342e+03,2.70696746850047375958e+156,-2.4211487480289175815e-294,4.94065645841247e-324,3.00000000000000044408e-01,1.35693846890435111164e+03);
INSERT INTO "camera_place_mark" VALUES('place19.86','m19.85',-3.34410075186724e+249,3.00000000000000044408e-01,-2.17684187417104965949e-120,4.94065645841247e-324,3.00000000000000044408e-01,4.94065645841247e-324,4.94065645841247e-324);
INSERT INTO "camera_place_mark" VALUES('place19.86','m19.83',3.00000000000000044408e-01,-8.64312778351693680213e+01,4.94065645841247e-324,3.47222461539946889884e+09,-1.07303370349177799652e+05,1.97813848464548163973e+03,-6.33043539261307055578e-260);
INSERT INTO "camera_place_mark" VALUES('place19.86','m19.84',3.00000000000000044408e-01,3.00000000000000044408e-01,-6.69658973308506751207e+277,3.00000000000000044408e-01,-1.01384265638653573728e+24,4.94065645841247e-324,-4.69829483807645876224e+104);
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
INSERT INTO "day" VALUES('day19.30','','["a19.32"]',NULL,NULL,4,'bb');
INSERT INTO "day" VALUES('day19.68','','["a19.32"]','strike',1.43266819982211791287e+03,4,'Жb中中a');
INSERT INTO "day" VALUES('day19.98','ß	''%-;0','[]','rhythm',1.30143949132425586863e+03,2,'中');
CREATE TABLE drill (
	id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
INSERT INTO "drill" VALUES('drill19.160','{"blocks": ["sprint", "targeted", "foundation"], "cautions": ["é@@-''"], "defer": "é9", "easier": "0b0''Ж", "experienced": false, "faults": [";b‏00"], "harder": "-中", "load": "b=", "look_for": ["''🏃b-", "ß9\n"], "name": "\n\"''é‏.", "parts": ["leg swap", "horizontal push", "from a standstill", "quick strike", "split stance"], "purpose": "@", "questions": ["swap", "launch", "rhythm"], "rep_s": 17.266339428560443, "reps": [36.05922855079427, 139.84640133825198], "rest_after": "rep", "rest_s": [7.665944753075335, 89.12211372863197], "set_up": "Ж\n0\té,", "sets": [80.68668134469577, 299.8434221327533], "source": "-", "sprint_m": 75.7976053424105}');
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
INSERT INTO "film" VALUES('film19.1','','=',NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "film" VALUES('film19.27','/films/中,	Z🏃/clip.mp4','Z‏b,-Ж🏃',NULL,X'49A5478E3CC391006FB77FCB30F739099782B79DC1F11025F7D5E5B6635AD329BD56C276A9431135','161854/675857196351',1280,720,NULL);
INSERT INTO "film" VALUES('film19.88','/films/%/clip.mp4','',NULL,X'4B7D9DF959BE8001B7CCCC0223E753087CF5532802F5DF16FF039DE5B52BBF1B53B552350DEA1325','409057/193545900662',1280,720,NULL);
INSERT INTO "film" VALUES('film19.146','',',0中ZЖßb',NULL,X'8B950FF0119274071F03CB03E6BCEE153BCFE6DD197C301FC7CE75D4C2D1C6354F48E81FC373B539','491302/484141893437',1280,720,NULL);
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
INSERT INTO "footfall" VALUES('run19.39','f19.120','right',NULL,NULL,498802811606178,NULL,NULL,0,NULL);
INSERT INTO "footfall" VALUES('run19.39','f19.155','left',NULL,NULL,39340436343910,NULL,NULL,0,9.97941966038344285827e-01);
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
INSERT INTO "line" VALUES('run19.39','l19.43',187233311415998,NULL,'free','right',4.94065645841247e-324,1.16622391766015937259e+02,9.64724579934723553038e-196,4.78220870614510658921e+02,4.94065645841247e-324);
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
INSERT INTO "mark" VALUES('run19.39','m19.118',1.19978057157065499645e-287,3.00000000000000044408e-01,370,NULL,4.94065645841247e-324,7.73200319132147456018e+02,1.9338098830441815607e+03,3.00000000000000044408e-01,4.94065645841247e-324);
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
INSERT INTO "planned_drill" VALUES('day19.68',0,'p19.70','‏=éé','targeted',5,36,3.00000000000000044408e-01,'"9','
','[]');
INSERT INTO "planned_drill" VALUES('day19.68',1,'p19.71','b;中','sprint',6,62,4.94065645841247e-324,'ß','','[["-ß;\"%", ""]]');
INSERT INTO "planned_drill" VALUES('day19.68',2,'p19.72','"‏''','sprint',3,46,3.00000000000000044408e-01,'🏃 a','=Z','[]');
INSERT INTO "planned_drill" VALUES('day19.98',0,'p19.99','','foundation',5,6,-2.6667252662587467224e-295,' @ 
éЖ','@	
b','[["", "\n\"\n;\"="], ["Ж", "''''b''"]]');
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
INSERT INTO "point" VALUES('run19.39',1151,NULL,'right_heel',4.94065645841247e-324,3.00000000000000044408e-01,4.94065645841247e-324);
INSERT INTO "point" VALUES('run19.39',1761,NULL,'left_heel',1.48717705628521866859e+03,3.00000000000000044408e-01,4.94065645841247e-324);
INSERT INTO "point" VALUES('run19.39',448,NULL,'mid_back',1.76015173563883945461e+03,4.94065645841247e-324,3.00000000000000044408e-01);
INSERT INTO "point" VALUES('run19.39',318122430021680,NULL,'neck',4.89156717510351889913e-239,4.94065645841247e-324,4.94065645841247e-324);
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
	PRIMARY KEY (id), 
	FOREIGN KEY(film_id) REFERENCES film (id) DEFERRABLE INITIALLY DEFERRED, 
	FOREIGN KEY(athlete_id) REFERENCES athlete (id) DEFERRABLE INITIALLY DEFERRED, 
	FOREIGN KEY(camera_place_id) REFERENCES camera_place (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
INSERT INTO "run" VALUES('run19.39','film19.27','a19.33','',1431,NULL,476171033248373,NULL,'right',NULL,'""=','a',NULL,NULL,564728780870433,NULL,1787,NULL,'left',NULL,5.86140604996458113376e+235,NULL,1,'front_toe_off','run19.12','',NULL,2.49628485314239491072e-204,'é,a9%','=%''	',NULL,7,'a',0,NULL,NULL);
CREATE TABLE tagging (
	id TEXT NOT NULL, 
	coach TEXT NOT NULL, 
	s_s REAL NOT NULL, 
	pairs INTEGER NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
INSERT INTO "tagging" VALUES('t19.145','=a
',1.15394745546732337972e+03,71);
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
CREATE INDEX ix_run_camera_place_id ON run (camera_place_id);
CREATE INDEX ix_run_athlete_id ON run (athlete_id);
CREATE INDEX ix_band_table_athlete_id ON band_table (athlete_id);
COMMIT;
PRAGMA application_id = 1129202764;
PRAGMA user_version = 6;
