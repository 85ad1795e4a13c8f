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
INSERT INTO "athlete" VALUES('a19.4','b,','female',6.99020663690275372665e-215,4.94065645841247e-324,NULL,NULL);
INSERT INTO "athlete" VALUES('a19.37','a%Z ','female',-2.4365374858112031364e+190,NULL,NULL,'b%');
INSERT INTO "athlete" VALUES('a19.66','''0','male',NULL,NULL,NULL,'aЖ');
INSERT INTO "athlete" VALUES('a19.85',',ß🏃0-',NULL,4.94065645841247e-324,4.94065645841247e-324,'adult','ß=中');
INSERT INTO "athlete" VALUES('a19.183','=''é','male',NULL,NULL,NULL,'0Z=b');
INSERT INTO "athlete" VALUES('a19.213',',ßZ','female',3.71669861833982167814e+02,NULL,NULL,'	==');
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
INSERT INTO "band" VALUES('b19.53',0,'aé-','push',3,7,NULL,NULL,'9a;0@','higher');
INSERT INTO "band" VALUES('b19.53',1,'90🏃-a','push',7,3,NULL,NULL,'
','higher');
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
	made_at TEXT DEFAULT '' NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(athlete_id) REFERENCES athlete (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
INSERT INTO "band_table" VALUES('b19.53','0🏃9;;',1,'own pattern','female','09',NULL,NULL,'a19.37',81,'中‏%Z🏃
🏃');
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
INSERT INTO "camera_place" VALUES('place19.126',',"‏中0
',NULL,NULL,NULL,NULL,NULL,4.94065645841247e-324);
INSERT INTO "camera_place" VALUES('place19.180','‏"ß中é@',NULL,NULL,NULL,NULL,NULL,3.00000000000000044408e-01);
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
INSERT INTO "camera_place_mark" VALUES('place19.126','m19.197',1.41586679960940887207e+03,3.00000000000000044408e-01,1.8631667665955671964e+03,1.1289668397120797181e+03,6.41224461758596103863e-64,3.00000000000000044408e-01,2.90287701693610151586e+73);
CREATE TABLE consent (
	id TEXT NOT NULL, 
	athlete_id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(athlete_id) REFERENCES athlete (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
INSERT INTO "consent" VALUES('a19.4','a19.4','{"filming": {"athlete": true, "given": "=🏃,-Ж%''", "guardian": true, "withdrawn": "baß"}, "sharing": {"athlete": true, "given": "‏=", "guardian": true, "withdrawn": "=b, ‏"}}');
INSERT INTO "consent" VALUES('a19.37','a19.37','{"filming": {"athlete": true, "given": "Жa=,\n", "guardian": true, "withdrawn": "9-Ж-"}, "sharing": {"athlete": true, "given": "", "guardian": false, "withdrawn": "%0b‏aß"}}');
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
INSERT INTO "day" VALUES('day19.133','	 @bЖ% ','[]',NULL,NULL,3,'@9%-
0');
INSERT INTO "day" VALUES('day19.175','a','["a19.4", "a19.85"]',NULL,NULL,3,'🏃🏃,0‏''');
INSERT INTO "day" VALUES('day19.190','''','[]','rhythm',3.00000000000000044408e-01,3,'');
INSERT INTO "day" VALUES('day19.216','éZßa''','[]','strike',3.00000000000000044408e-01,4,'9');
CREATE TABLE drill (
	id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
INSERT INTO "drill" VALUES('drill19.187','{"blocks": ["sprint", "targeted", "foundation"], "cautions": [], "defer": "‏;;🏃🏃''", "easier": "", "experienced": true, "faults": ["‏Z🏃\n\"9", "a"], "harder": "\nZ", "load": "-", "look_for": [""], "name": ".", "parts": ["from a standstill"], "purpose": "a\"00-🏃", "questions": ["strike"], "rep_s": 83.52212894648963, "reps": [172.52371059880687, 268.2284866779843], "rest_after": "rep", "rest_s": [68.8470283063805, 264.45837934980176], "set_up": "ab", "sets": [50.36910357453025, 80.98862643787626], "source": "b", "sprint_m": 40.63820411661991}');
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
INSERT INTO "drill_film" VALUES('df19.186','run19.96','day19.175','{"drill_id": "@%\"\n-Z", "kind": "throw", "reps": [{"cue": "中Ж @", "events": [["landing", 1234, null], ["set", 1700, null], ["release", 1857, null]], "first": [169, null], "id": "rep19.185", "last": [950622112911733, null], "number": 91, "set": 4}, {"cue": "", "events": [], "first": [1741, null], "id": "rep19.184", "last": [733649802515137, null], "number": 45, "set": 1}]}');
INSERT INTO "drill_film" VALUES('df19.221','run19.96','day19.190','{"drill_id": "9%0-🏃%", "kind": "start", "reps": [{"cue": "\"", "events": [["landing", 1003, null], ["landing", 190512283410662, null], ["push-off", 1057178270721620, null]], "first": [321, null], "id": "rep19.220", "last": [1947, null], "number": 24, "set": 5}, {"cue": "", "events": [["push-off", 485931895697614, null]], "first": [1424, null], "id": "rep19.218", "last": [578871921737951, null], "number": 21, "set": 8}, {"cue": "''''é🏃", "events": [["set", 521, null], ["push-off", 259758313328442, null], ["release", 702365153322839, null]], "first": [525776455796844, null], "id": "rep19.219", "last": [623988909064519, null], "number": 10, "set": 4}]}');
CREATE TABLE face_cover (
	id TEXT NOT NULL, 
	film_id TEXT NOT NULL, 
	number INTEGER NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(film_id) REFERENCES film (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
INSERT INTO "face_cover" VALUES('face19.229','film19.1',3,'{"places": [[977, 5e-324, 5e-324, -1.6911254426872538e-37, 5e-324], [235469141751314, 9.875357840549474e+281, 84.57704879016214, 5e-324, -5.48795665135862e-51], [596716177511348, 1033.163333835992, 768.3293230274961, 5e-324, 7.872564861047831e+145]]}');
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
INSERT INTO "film" VALUES('film19.1','C:\films\clip.mp4','%%"		bЖ',NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "film" VALUES('film19.21','','',4.94065645841247e-324,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "film" VALUES('film19.63','C:\films\clip.mp4',',9Жb',4.94065645841247e-324,X'BC501568A99F76004F722238C9C90A0B5CA7254D1550240FB91652DB496E73105037E477A8A40820','309776/488615837321',1280,720,1);
INSERT INTO "film" VALUES('film19.173','/films/
/clip.mp4','=-9',NULL,NULL,NULL,NULL,NULL,1);
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
INSERT INTO "footfall" VALUES('run19.96','f19.99','right',478,NULL,576079443976093,NULL,NULL,0,6.30454737812528143159e-01);
INSERT INTO "footfall" VALUES('run19.96','f19.98','right',NULL,NULL,481826027964638,NULL,5,1,NULL);
INSERT INTO "footfall" VALUES('run19.96','f19.100','right',NULL,NULL,511117716329008,NULL,6,0,6.06677753002103914425e-01);
INSERT INTO "footfall" VALUES('run19.96','f19.107','right',45,NULL,NULL,NULL,1,1,5.03091900384704526771e-01);
INSERT INTO "footfall" VALUES('run19.202','f19.203','right',438,NULL,931628525075158,NULL,1,0,NULL);
INSERT INTO "footfall" VALUES('run19.202','f19.205','right',1081,NULL,NULL,NULL,7,1,NULL);
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
INSERT INTO "gate_time" VALUES('gate19.106','a19.85','"',4.94065645841247e-324,1.68007452118466835602e+03,'éß中=9b;');
INSERT INTO "gate_time" VALUES('gate19.114','a19.85','%',-1.95757758123474206769e-245,3.00000000000000044408e-01,'@é;0');
INSERT INTO "gate_time" VALUES('gate19.157','a19.66',';-中a ',3.00000000000000044408e-01,4.94065645841247e-324,'‏b,');
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
INSERT INTO "line" VALUES('run19.202','l19.222',1067299346139574,NULL,'trunk',NULL,3.00000000000000044408e-01,1.88146668355381187394e+67,5.63419640459973493319e+02,4.94065645841247e-324,1.77773039798348224706e-286);
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
INSERT INTO "mark" VALUES('run19.202','m19.207',2.35219913096484560814e+01,4.94065645841247e-324,881081029205978,NULL,1.22262840072573067114e+03,4.94065645841247e-324,4.94065645841247e-324,4.94065645841247e-324,3.00000000000000044408e-01);
INSERT INTO "mark" VALUES('run19.96','m19.227',3.00000000000000044408e-01,4.94065645841247e-324,363346142082140,NULL,-2.31435071364042301792e-36,-5.69327906563083541548e+159,3.00000000000000044408e-01,4.94065645841247e-324,1.29549124105933401553e+02);
CREATE TABLE narration (
	id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
INSERT INTO "narration" VALUES('n19.164','{"name": "b", "recording_id": "rec19.67", "run_ids": ["run19.96"], "stops": [{"beside": 901, "beside_zoom": null, "drawn": ["rail", "body", "numbers"], "frame": 505, "hold_s": 10.030316243549475, "id": "s19.224", "speed_after": 0.394671675523487, "words": "ß,", "zoom": null}, {"beside": 143903420085022, "beside_zoom": [-8.700392734702212e+195, 1842.4423393592708, 224.6815275891844, 1776.2615075623914], "drawn": ["path", "body", "lines", "rail"], "frame": 0, "hold_s": 49.30673419473378, "id": "s19.225", "speed_after": 0.5866158469703951, "words": "", "zoom": [1549.6338374128604, 3.302540033651624, 1684.6679708171187, 516.7219909457581]}]}');
INSERT INTO "narration" VALUES('n19.232','{"name": "中‏ßßЖ\n‏", "recording_id": null, "run_ids": ["run19.202", "run19.96"], "stops": [{"beside": null, "beside_zoom": [-8.387284403745845e+228, 1250.3474267020829, 1992.900952320504, 955.8455078418294], "drawn": ["rail"], "frame": 1251, "hold_s": 1.0344005107676768, "id": "s19.230", "speed_after": 0.9049317395569085, "words": "\n  Ж中", "zoom": null}, {"beside": 791981646100708, "beside_zoom": null, "drawn": ["lines", "numbers", "path", "rail", "body"], "frame": 886138239029261, "hold_s": 59.85242617349902, "id": "s19.231", "speed_after": 0.11215324291171011, "words": ";b=9;Ж", "zoom": null}]}');
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
	done_at TEXT, 
	done_note TEXT DEFAULT '' NOT NULL, 
	left_out TEXT DEFAULT '[]' NOT NULL, 
	PRIMARY KEY (day_id, position), 
	FOREIGN KEY(day_id) REFERENCES day (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
INSERT INTO "planned_drill" VALUES('day19.190',0,'p19.188','‏0','sprint',1,61,3.00000000000000044408e-01,'
9=','9‏ é','[["'''';", "‏%,0%"], ["a中''\n", "-''"]]',NULL,'','[]');
INSERT INTO "planned_drill" VALUES('day19.190',1,'p19.189','"=,;;Z','targeted',4,13,3.00000000000000044408e-01,'','9🏃','[["Жb==", "b9\n0  ="], ["Z‏;ß-ß", "ßЖ\"@\"\""]]','b9','é
,','["中''ß‏é🏃,", "a‏", "Ж"]');
INSERT INTO "planned_drill" VALUES('day19.216',0,'p19.215','=0
0b9🏃','foundation',3,11,4.94065645841247e-324,'Ж‏Ж%🏃',' 9,-%','[["Z00 \té\n", "0‏"], ["=-‏", "🏃ZЖ@‏b中"]]',',','"b"‏🏃;Z','["''''00,🏃Z", "\n"]');
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
INSERT INTO "point" VALUES('run19.202',742,NULL,'left_toe',-1.3955020187149460533e+259,-7.93979085700764821527e+65,-4.44861586967652149118e-288);
INSERT INTO "point" VALUES('run19.202',1550,NULL,'neck',6.7294594572280880128e+02,3.00000000000000044408e-01,5.07563731661482541368e+218);
CREATE TABLE published_error (
	id TEXT NOT NULL, 
	typical_error REAL NOT NULL, 
	source TEXT NOT NULL, 
	PRIMARY KEY (id)
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
INSERT INTO "recording" VALUES('rec19.31',X'B89F930259498D6260F3557ED383A4A9B850F39056BDF58B8B5AC2799FD559725F005CAC6D7AD54AF0C767DCB3AE73F5E77A6987E4','{"lasts_s": 0.30000000000000004, "playhead": [[968.1153469612711, 88676599797270, null, ""], [-7.099393400819186e+229, 883, 1873, "''🏃b-"], [0.30000000000000004, 511607394430854, null, "0"]], "strokes": [[0.30000000000000004, true, [[49.341601905656916, 988.325643911184, 1439.0088723870083], [0.30000000000000004, 0.30000000000000004, 1210.7505320569262]]]]}');
INSERT INTO "recording" VALUES('rec19.67',X'91CF4E544EFD7F048378DCC92462D030710B2475A457413703DC32B201FB9ED7C41134012D2DF2E544442CB6E710638351','{"lasts_s": 1372.477429113076, "playhead": [[0.30000000000000004, 749, null, ";%\"中‏"]], "strokes": [[5e-324, false, [[483.06906636651604, -2.8774527494448648e-123, 1.6188631585206084e+156], [5e-324, 0.30000000000000004, 0.30000000000000004]]]]}');
INSERT INTO "recording" VALUES('rec19.201',X'B51590C7E0E768145A67037DB4D030BFCAA7737E0F2812A07948B8ABF2E73CFFC9004A5A2BDEB33DA3DEF035549B49E04B0C05A4BB74DC381B199CEA970CEDD6E5A3F53765E0EE2A13025F6E8F408078BCE55EC1747418','{"lasts_s": 0.30000000000000004, "playhead": [[8.077308789208788e-111, 1264, 123, "9"], [1674.1107872478146, 585012368769768, 213875591315524, "9"]], "strokes": [[null, true, []]]}');
CREATE TABLE report_place (
	run_id TEXT NOT NULL, 
	position INTEGER NOT NULL, 
	x_m REAL NOT NULL, 
	PRIMARY KEY (run_id, position), 
	FOREIGN KEY(run_id) REFERENCES run (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
INSERT INTO "report_place" VALUES('run19.96',0,4.94065645841247e-324);
INSERT INTO "report_place" VALUES('run19.96',1,-2.61577750977574771716e+75);
INSERT INTO "report_place" VALUES('run19.96',2,1.9021984017122927071e+03);
INSERT INTO "report_place" VALUES('run19.202',0,1.33376139398885356973e+03);
INSERT INTO "report_place" VALUES('run19.202',1,2.74743790335209382637e+02);
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
INSERT INTO "run" VALUES('run19.96','film19.173','a19.85','
',326,NULL,603,NULL,'left',2.10416110509502743745e+02,'Z‏中,"Ж-','é9',929516804471624,NULL,1680,NULL,1084,NULL,NULL,NULL,4.46525875896392146491e-154,NULL,1,'rear_toe_off',NULL,'9🏃-','split',NULL,'"aaЖa','bZ',4.35248872696651574205e+02,8,'aé%é@-',0,NULL,NULL,1);
INSERT INTO "run" VALUES('run19.202','film19.21','a19.183','',834286608503691,NULL,748,NULL,'right',NULL,'00','a🏃=é',NULL,NULL,NULL,NULL,1993,NULL,NULL,NULL,NULL,NULL,1,'front_toe_off',NULL,'ß',NULL,1.39442085481827189141e+03,'中

bZ 中','',NULL,NULL,'Ж%‏🏃=é;',1,NULL,NULL,1);
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
CREATE INDEX ix_run_athlete_id ON run (athlete_id);
CREATE INDEX ix_run_camera_place_id ON run (camera_place_id);
CREATE INDEX ix_run_film_id ON run (film_id);
CREATE INDEX ix_band_table_athlete_id ON band_table (athlete_id);
CREATE INDEX ix_face_cover_film_id ON face_cover (film_id);
CREATE INDEX ix_consent_athlete_id ON consent (athlete_id);
CREATE INDEX ix_gate_time_athlete_id ON gate_time (athlete_id);
CREATE INDEX ix_drill_film_day_id ON drill_film (day_id);
CREATE INDEX ix_drill_film_run_id ON drill_film (run_id);
COMMIT;
PRAGMA application_id = 1129202764;
PRAGMA user_version = 9;
