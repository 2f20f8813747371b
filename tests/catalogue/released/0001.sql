BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE arrivals (
	id INTEGER NOT NULL, 
	original_id INTEGER NOT NULL, 
	entry_id INTEGER, 
	job_id INTEGER, 
	source TEXT NOT NULL, 
	file_name TEXT NOT NULL, 
	file_time TEXT, 
	arrived_at TEXT NOT NULL, 
	CONSTRAINT pk_arrivals PRIMARY KEY (id), 
	CONSTRAINT fk_arrivals_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id), 
	CONSTRAINT fk_arrivals_job_id FOREIGN KEY(job_id) REFERENCES jobs (id), 
	CONSTRAINT fk_arrivals_original_id FOREIGN KEY(original_id) REFERENCES originals (id), 
	CONSTRAINT uq_arrivals_original_id_source UNIQUE (original_id, source)
);
INSERT INTO "arrivals" VALUES(1,1,1,2,'/home/ida/drawings/baker CU.png','baker CU.png','2026-11-25T13:39:27.657210Z','2026-11-25T13:39:30.903024Z');
INSERT INTO "arrivals" VALUES(2,2,3,NULL,'/home/ida/drawings/bakers and crates sheet.png','bakers and crates sheet.png','2026-11-25T13:39:27.654703Z','2026-11-25T13:39:33.807715Z');
CREATE TABLE bundle_items (
	id INTEGER NOT NULL, 
	bundle_id INTEGER NOT NULL, 
	version_id INTEGER NOT NULL, 
	ordinal INTEGER NOT NULL, 
	facts TEXT NOT NULL, 
	CONSTRAINT pk_bundle_items PRIMARY KEY (id), 
	CONSTRAINT fk_bundle_items_bundle_id FOREIGN KEY(bundle_id) REFERENCES bundles (id), 
	CONSTRAINT fk_bundle_items_version_id FOREIGN KEY(version_id) REFERENCES versions (id)
);
INSERT INTO "bundle_items" VALUES(1,7,1,0,'{"answers":{"ai":"none","depicts":"none","origin":"out-of-the-head","ownership":"own"},"code":"YG6Y6V","state":"clear","title":"baker CU"}');
CREATE TABLE bundles (
	id INTEGER NOT NULL, 
	uuid TEXT NOT NULL, 
	collection_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	licence TEXT NOT NULL, 
	issued_on DATE NOT NULL, 
	path TEXT NOT NULL, 
	sha256 TEXT NOT NULL, 
	bytes INTEGER NOT NULL, 
	snapshot TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_bundles PRIMARY KEY (id), 
	CONSTRAINT fk_bundles_collection_id FOREIGN KEY(collection_id) REFERENCES collections (id), 
	CONSTRAINT fk_bundles_id FOREIGN KEY(id) REFERENCES codes (id), 
	CONSTRAINT uq_bundles_collection_id_number UNIQUE (collection_id, number), 
	CONSTRAINT uq_bundles_uuid UNIQUE (uuid)
);
INSERT INTO "bundles" VALUES(7,'d590c8e6-987e-466c-a7a0-ae1f864d839a',6,1,'one artist','2026-11-25','bakers-1.0.0.zip','cc8430041c13398062bdede9c2b68be2e8c4644f6ea5690dc16cc5849dc66659',14876,'{"bundle":{"id":"urn:uuid:d590c8e6-987e-466c-a7a0-ae1f864d839a","issued":"2026-11-25","slug":"bakers","title":"Bakers","version":"1.0.0"},"format":"assetlib-bundle","formatVersion":1,"items":[{"bytes":1725,"clearance":{"checked":"2026-11-25","dataMining":"DMI-PROHIBITED-AIMLTRAINING","modelRelease":"MR-NAP","propertyRelease":"PR-NAP","state":"clear"},"code":"YG6Y6V","file":"data/images/baker-cu-yg6y6v.png","hasAlpha":true,"height":260,"id":"urn:uuid:145cec47-a5cc-45ce-bab3-e55782825307","mediaType":"image/png","pixelSha256":"0a9e78487dd04935674b4687b358aaa3fa3dbdc785d4fb8427ef798f1ee41ed0","preview":"data/previews/baker-cu-yg6y6v.jpg","sha512":"993e6a2bf98a9edd911d0df1647be76633282ad30f51557c87c4fce02065f219b14f0be2d8607a8e47fda8f5317581237f6ca96f8c7e1a10ac54ff3087371525","title":"baker CU","width":260}],"licence":{"spdx":"LicenseRef-Assetlib-One-Artist-1","text":"data/licence/licence.txt","tier":"one artist"},"licensor":{"email":"ida@boards.example","name":"Ida Brandt"}}','2026-11-25T13:39:37.286572Z');
CREATE TABLE changes (
	id INTEGER NOT NULL, 
	step_id INTEGER NOT NULL, 
	table_name TEXT NOT NULL, 
	row_id INTEGER NOT NULL, 
	"before" TEXT, 
	"after" TEXT, 
	CONSTRAINT pk_changes PRIMARY KEY (id), 
	CONSTRAINT fk_changes_step_id FOREIGN KEY(step_id) REFERENCES steps (id)
);
INSERT INTO "changes" VALUES(1,1,'originals',1,NULL,'{"bits":8,"bytes":1419,"created_at":{"instant":"2026-11-25T13:39:30.819327+00:00"},"format":"PNG","ground":"white paper","has_alpha":false,"height":260,"icc":null,"id":1,"layers":{"json":[]},"media_type":"image/png","mode":"L","note":null,"orientation":1,"pages":1,"pixel_sha256":"165f2b09a107b63a6f22b7b63a8b9324767e94d14ed7f639cf354a6fcdca7d85","sha256":"130a29b2799d276df4f475fc885bddec4e615fee20196ce35a5f9960c1095963","width":260,"words":{"json":{"creator":"","description":"","keywords":[],"licence":"","title":""}},"x_dpi":null,"y_dpi":null}');
INSERT INTO "changes" VALUES(2,1,'entries',1,NULL,'{"added_at":{"instant":"2026-11-25T13:39:30.841337+00:00"},"current_version_id":null,"described_at":null,"id":1,"in_attic":false,"note":null,"role":"element","title":"baker CU","title_source":"file name","uuid":"145cec47-a5cc-45ce-bab3-e55782825307"}');
INSERT INTO "changes" VALUES(3,1,'entries',1,'{"added_at":{"instant":"2026-11-25T13:39:30.841337+00:00"},"current_version_id":null,"described_at":null,"id":1,"in_attic":false,"note":null,"role":"element","title":"baker CU","title_source":"file name","uuid":"145cec47-a5cc-45ce-bab3-e55782825307"}','{"added_at":{"instant":"2026-11-25T13:39:30.841337+00:00"},"current_version_id":1,"described_at":null,"id":1,"in_attic":false,"note":null,"role":"element","title":"baker CU","title_source":"file name","uuid":"145cec47-a5cc-45ce-bab3-e55782825307"}');
INSERT INTO "changes" VALUES(4,1,'versions',1,NULL,'{"entry_id":1,"ground":"white paper","height":260,"id":1,"made_at":{"instant":"2026-11-25T13:39:30.850767+00:00"},"number":1,"reason":"brought in","uuid":"0064b029-208a-419a-9574-705e828567bb","width":260}');
INSERT INTO "changes" VALUES(5,1,'pieces',1,NULL,'{"h":260,"id":1,"layer":null,"mask":null,"ordinal":0,"original_id":1,"page":0,"reading_order":null,"resolution":null,"version_id":1,"w":260,"x":0,"y":0}');
INSERT INTO "changes" VALUES(6,1,'facets',1,NULL,'{"entry_id":1,"facet":"finish","id":1,"made_at":{"instant":"2026-11-25T13:39:30.874653+00:00"},"source":"picture","state":"suggested","value":"clean line"}');
INSERT INTO "changes" VALUES(7,1,'facets',2,NULL,'{"entry_id":1,"facet":"shot_size","id":2,"made_at":{"instant":"2026-11-25T13:39:30.874755+00:00"},"source":"file name","state":"suggested","value":"CU"}');
INSERT INTO "changes" VALUES(8,1,'tags',1,NULL,'{"concept_id":101,"entry_id":1,"id":1,"made_at":{"instant":"2026-11-25T13:39:30.883887+00:00"},"source":"artist","state":"given"}');
INSERT INTO "changes" VALUES(9,1,'jobs',2,NULL,'{"agreement":null,"client":null,"first_day":null,"frame_height":null,"frame_width":null,"id":2,"last_day":null,"made_at":{"instant":"2026-11-25T13:39:30.899382+00:00"},"name":"Bakery van","uuid":"5a0db07f-66d9-4abc-bef5-e6505ee12a73"}');
INSERT INTO "changes" VALUES(10,1,'arrivals',1,NULL,'{"arrived_at":{"instant":"2026-11-25T13:39:30.903024+00:00"},"entry_id":1,"file_name":"baker CU.png","file_time":{"instant":"2026-11-25T13:39:27.657210+00:00"},"id":1,"job_id":2,"original_id":1,"source":"/home/ida/drawings/baker CU.png"}');
INSERT INTO "changes" VALUES(11,2,'originals',2,NULL,'{"bits":8,"bytes":1847,"created_at":{"instant":"2026-11-25T13:39:33.784195+00:00"},"format":"PNG","ground":"white paper","has_alpha":false,"height":260,"icc":null,"id":2,"layers":{"json":[]},"media_type":"image/png","mode":"L","note":null,"orientation":1,"pages":1,"pixel_sha256":"ad15f1f2da66ca1ed8a96aeb5f63d290d93018deb5020b313730e33393a2379e","sha256":"bbf5f1e7bf9171313023d0970aaafacafb1140e7dc0c961a651ef060c8fb7906","width":600,"words":{"json":{"creator":"","description":"","keywords":[],"licence":"","title":""}},"x_dpi":null,"y_dpi":null}');
INSERT INTO "changes" VALUES(12,2,'entries',3,NULL,'{"added_at":{"instant":"2026-11-25T13:39:33.785302+00:00"},"current_version_id":null,"described_at":null,"id":3,"in_attic":false,"note":null,"role":"sheet","title":"bakers and crates","title_source":"file name","uuid":"9901ec72-5f78-4259-a16c-0846fa682b59"}');
INSERT INTO "changes" VALUES(13,2,'entries',3,'{"added_at":{"instant":"2026-11-25T13:39:33.785302+00:00"},"current_version_id":null,"described_at":null,"id":3,"in_attic":false,"note":null,"role":"sheet","title":"bakers and crates","title_source":"file name","uuid":"9901ec72-5f78-4259-a16c-0846fa682b59"}','{"added_at":{"instant":"2026-11-25T13:39:33.785302+00:00"},"current_version_id":2,"described_at":null,"id":3,"in_attic":false,"note":null,"role":"sheet","title":"bakers and crates","title_source":"file name","uuid":"9901ec72-5f78-4259-a16c-0846fa682b59"}');
INSERT INTO "changes" VALUES(14,2,'versions',2,NULL,'{"entry_id":3,"ground":"white paper","height":260,"id":2,"made_at":{"instant":"2026-11-25T13:39:33.787127+00:00"},"number":1,"reason":"brought in","uuid":"01aa82b7-3e01-45b4-a1d8-25b71b7d7248","width":600}');
INSERT INTO "changes" VALUES(15,2,'pieces',2,NULL,'{"h":260,"id":2,"layer":null,"mask":null,"ordinal":0,"original_id":2,"page":0,"reading_order":null,"resolution":null,"version_id":2,"w":600,"x":0,"y":0}');
INSERT INTO "changes" VALUES(16,2,'facets',3,NULL,'{"entry_id":3,"facet":"finish","id":3,"made_at":{"instant":"2026-11-25T13:39:33.804996+00:00"},"source":"picture","state":"suggested","value":"clean line"}');
INSERT INTO "changes" VALUES(17,2,'arrivals',2,NULL,'{"arrived_at":{"instant":"2026-11-25T13:39:33.807715+00:00"},"entry_id":3,"file_name":"bakers and crates sheet.png","file_time":{"instant":"2026-11-25T13:39:27.654703+00:00"},"id":2,"job_id":null,"original_id":2,"source":"/home/ida/drawings/bakers and crates sheet.png"}');
INSERT INTO "changes" VALUES(18,3,'cut_orders',1,NULL,'{"corrections":{"json":{"boxes":[],"drop":[],"gap":null,"join":[],"split":[]}},"cut_at":{"instant":"2026-11-25T13:39:35.331083+00:00"},"entry_id":3,"id":1,"page":0}');
INSERT INTO "changes" VALUES(19,3,'entries',4,NULL,'{"added_at":{"instant":"2026-11-25T13:39:35.344099+00:00"},"current_version_id":null,"described_at":null,"id":4,"in_attic":false,"note":null,"role":"element","title":"bakers and crates 1","title_source":"file name","uuid":"05331d58-1840-433a-b0d3-d947dc1369bd"}');
INSERT INTO "changes" VALUES(20,3,'entries',4,'{"added_at":{"instant":"2026-11-25T13:39:35.344099+00:00"},"current_version_id":null,"described_at":null,"id":4,"in_attic":false,"note":null,"role":"element","title":"bakers and crates 1","title_source":"file name","uuid":"05331d58-1840-433a-b0d3-d947dc1369bd"}','{"added_at":{"instant":"2026-11-25T13:39:35.344099+00:00"},"current_version_id":3,"described_at":null,"id":4,"in_attic":false,"note":null,"role":"element","title":"bakers and crates 1","title_source":"file name","uuid":"05331d58-1840-433a-b0d3-d947dc1369bd"}');
INSERT INTO "changes" VALUES(21,3,'versions',3,NULL,'{"entry_id":4,"ground":"white paper","height":181,"id":3,"made_at":{"instant":"2026-11-25T13:39:35.345902+00:00"},"number":1,"reason":"brought in","uuid":"53fac442-62df-40d4-a229-6debbf8b7f92","width":191}');
INSERT INTO "changes" VALUES(22,3,'pieces',3,NULL,'{"h":181,"id":3,"layer":null,"mask":{"bytes":"iVBORw0KGgoAAAANSUhEUgAAAL8AAAC1AQAAAAAmChPNAAACQklEQVR42u2YO3LbMBRFL584CYqMzdJdOFmBdxAsJTuJluKlcAleAsuULFLQMxRfCoIgPpeQzNHYTdBodA/eFxBFAPDjpHoGGSdVTn6rqk65/lVVVbXLwM8FjOv3av2cE0Hc58M6s0/A8wqeYkvvySvO4suWRZzXd/VjiCx+bXO+hR6DEKskaYg1yAJMCNoAPIfgKQA2BPUWKYrtNAn74sa2Wo8ajd5PbmKLxoM2BsYDG4N6zSBJahElT2pJS3xFwbAOmBS0DjQpaBxoU2AcsCmoXWaaAhVAtr2X1SH5Dj8DQsoALJ3u95XJ1RYQUh/QAELqAwwgpD6gLgSvSOGACoQUDlTFOig6Q1hHAFtyZZjcliwaJjcQ1irAlFxZJtelJiqTVfZjVDuOSrtkB+yQ875FzXV7ILjhenvAVcP15oCrXdBy3dwzxi6wXK8/JPju3lWu66dm9R/cAZz4gwzz56bbcX36kOA918d7xhi4PhxwNXK9P+Bq4nq3/2TIXuCcfiA4f8hoqbv0zDGXLOjGmkoWdDeMENAlHEqu6Er1JQu6IB0q0L4XXw2UNhcC1sW5vKk71kMIWLNGQMCaNQAC1pO+HHxiHUEF1pPlXVRZ4RCQ0mcHOlIfBKTC0YGB1AcBqbB3YCJllE9F6VH64n9RXZ7tAvo82wUMebYL+BuDl+snyDitS/A777Kk2NmyDyzGtFNXz85h9Mtt5/M/25zX2+4A1P9NviVr8xhXccPNxOrr7ertx2mrywK4/HjHDUtyJ/MPtEHOYwB494sAAAAASUVORK5CYII="},"ordinal":0,"original_id":2,"page":0,"reading_order":1,"resolution":null,"version_id":3,"w":191,"x":30,"y":40}');
INSERT INTO "changes" VALUES(23,3,'entries',5,NULL,'{"added_at":{"instant":"2026-11-25T13:39:35.361295+00:00"},"current_version_id":null,"described_at":null,"id":5,"in_attic":false,"note":null,"role":"element","title":"bakers and crates 2","title_source":"file name","uuid":"8c9e1667-5edf-4654-86ae-6ffe9da8867c"}');
INSERT INTO "changes" VALUES(24,3,'entries',5,'{"added_at":{"instant":"2026-11-25T13:39:35.361295+00:00"},"current_version_id":null,"described_at":null,"id":5,"in_attic":false,"note":null,"role":"element","title":"bakers and crates 2","title_source":"file name","uuid":"8c9e1667-5edf-4654-86ae-6ffe9da8867c"}','{"added_at":{"instant":"2026-11-25T13:39:35.361295+00:00"},"current_version_id":4,"described_at":null,"id":5,"in_attic":false,"note":null,"role":"element","title":"bakers and crates 2","title_source":"file name","uuid":"8c9e1667-5edf-4654-86ae-6ffe9da8867c"}');
INSERT INTO "changes" VALUES(25,3,'versions',4,NULL,'{"entry_id":5,"ground":"white paper","height":181,"id":4,"made_at":{"instant":"2026-11-25T13:39:35.362890+00:00"},"number":1,"reason":"brought in","uuid":"43514bc3-0d21-406b-b93a-23536ce6ff11","width":201}');
INSERT INTO "changes" VALUES(26,3,'pieces',4,NULL,'{"h":181,"id":4,"layer":null,"mask":{"bytes":"iVBORw0KGgoAAAANSUhEUgAAAMkAAAC1AQAAAADdXeYSAAAAKklEQVR42u3JQREAAAQAMDSXnAQCuNu+y4lDV5yUUkoppZRSSimllHpdCyk3Auqzqb50AAAAAElFTkSuQmCC"},"ordinal":0,"original_id":2,"page":0,"reading_order":2,"resolution":null,"version_id":4,"w":201,"x":360,"y":40}');
INSERT INTO "changes" VALUES(27,4,'facets',4,NULL,'{"entry_id":1,"facet":"pose","id":4,"made_at":{"instant":"2026-11-25T13:39:35.574651+00:00"},"source":"artist","state":"given","value":"standing"}');
INSERT INTO "changes" VALUES(28,4,'entries',1,'{"added_at":{"instant":"2026-11-25T13:39:30.841337+00:00"},"current_version_id":1,"described_at":null,"id":1,"in_attic":false,"note":null,"role":"element","title":"baker CU","title_source":"file name","uuid":"145cec47-a5cc-45ce-bab3-e55782825307"}','{"added_at":{"instant":"2026-11-25T13:39:30.841337+00:00"},"current_version_id":1,"described_at":{"instant":"2026-11-25T13:39:35.575566+00:00"},"id":1,"in_attic":false,"note":"for the bakery van","role":"element","title":"baker CU","title_source":"file name","uuid":"145cec47-a5cc-45ce-bab3-e55782825307"}');
INSERT INTO "changes" VALUES(29,5,'origin_answers',1,NULL,'{"answered_at":{"instant":"2026-11-25T13:39:35.620702+00:00"},"evidence":{"json":[]},"id":1,"note":null,"question":"origin","reference_id":null,"value":"out-of-the-head","version_id":1,"whose":null}');
INSERT INTO "changes" VALUES(30,5,'origin_answers',2,NULL,'{"answered_at":{"instant":"2026-11-25T13:39:35.620763+00:00"},"evidence":{"json":[]},"id":2,"note":null,"question":"ownership","reference_id":null,"value":"own","version_id":1,"whose":null}');
INSERT INTO "changes" VALUES(31,5,'origin_answers',3,NULL,'{"answered_at":{"instant":"2026-11-25T13:39:35.620782+00:00"},"evidence":{"json":[]},"id":3,"note":null,"question":"depicts","reference_id":null,"value":"none","version_id":1,"whose":null}');
INSERT INTO "changes" VALUES(32,5,'origin_answers',4,NULL,'{"answered_at":{"instant":"2026-11-25T13:39:35.620797+00:00"},"evidence":{"json":[]},"id":4,"note":null,"question":"ai","reference_id":null,"value":"none","version_id":1,"whose":null}');
INSERT INTO "changes" VALUES(33,6,'collections',6,NULL,'{"id":6,"licence":null,"made_at":{"instant":"2026-11-25T13:39:35.665139+00:00"},"name":"Bakers","uuid":"36ff6b8f-5d11-4de6-ba24-ae0f2dd65339"}');
INSERT INTO "changes" VALUES(34,7,'collection_items',1,NULL,'{"collection_id":6,"entry_id":1,"id":1,"ordinal":0}');
INSERT INTO "changes" VALUES(35,8,'collections',6,'{"id":6,"licence":null,"made_at":{"instant":"2026-11-25T13:39:35.665139+00:00"},"name":"Bakers","uuid":"36ff6b8f-5d11-4de6-ba24-ae0f2dd65339"}','{"id":6,"licence":"one artist","made_at":{"instant":"2026-11-25T13:39:35.665139+00:00"},"name":"Bakers","uuid":"36ff6b8f-5d11-4de6-ba24-ae0f2dd65339"}');
CREATE TABLE codes (
	id INTEGER NOT NULL, 
	code TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	created_at TEXT NOT NULL, 
	CONSTRAINT pk_codes PRIMARY KEY (id), 
	CONSTRAINT uq_codes_code UNIQUE (code)
);
INSERT INTO "codes" VALUES(1,'YG6Y6V','element','2026-11-25T13:39:30.841337Z');
INSERT INTO "codes" VALUES(2,'6VCRKD','job','2026-11-25T13:39:30.898556Z');
INSERT INTO "codes" VALUES(3,'PGXXGK','sheet','2026-11-25T13:39:33.785302Z');
INSERT INTO "codes" VALUES(4,'Q96WMK','element','2026-11-25T13:39:35.344099Z');
INSERT INTO "codes" VALUES(5,'Y4Q9Q7','element','2026-11-25T13:39:35.361295Z');
INSERT INTO "codes" VALUES(6,'3MX74F','collection','2026-11-25T13:39:35.664276Z');
INSERT INTO "codes" VALUES(7,'GRWJT6','bundle','2026-11-25T13:39:37.284830Z');
CREATE TABLE collection_items (
	id INTEGER NOT NULL, 
	collection_id INTEGER NOT NULL, 
	entry_id INTEGER NOT NULL, 
	ordinal INTEGER NOT NULL, 
	CONSTRAINT pk_collection_items PRIMARY KEY (id), 
	CONSTRAINT fk_collection_items_collection_id FOREIGN KEY(collection_id) REFERENCES collections (id), 
	CONSTRAINT fk_collection_items_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id), 
	CONSTRAINT uq_collection_items_collection_id_entry_id UNIQUE (collection_id, entry_id)
);
INSERT INTO "collection_items" VALUES(1,6,1,0);
CREATE TABLE collections (
	id INTEGER NOT NULL, 
	uuid TEXT NOT NULL, 
	name TEXT NOT NULL, 
	licence TEXT, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_collections PRIMARY KEY (id), 
	CONSTRAINT fk_collections_id FOREIGN KEY(id) REFERENCES codes (id), 
	CONSTRAINT uq_collections_name UNIQUE (name), 
	CONSTRAINT uq_collections_uuid UNIQUE (uuid)
);
INSERT INTO "collections" VALUES(6,'36ff6b8f-5d11-4de6-ba24-ae0f2dd65339','Bakers','one artist','2026-11-25T13:39:35.665139Z');
CREATE TABLE concepts (
	id INTEGER NOT NULL, 
	slug TEXT NOT NULL, 
	scheme TEXT NOT NULL, 
	definition TEXT, 
	CONSTRAINT pk_concepts PRIMARY KEY (id), 
	CONSTRAINT uq_concepts_slug UNIQUE (slug)
);
INSERT INTO "concepts" VALUES(1,'vehicle','trade',NULL);
INSERT INTO "concepts" VALUES(2,'car','trade',NULL);
INSERT INTO "concepts" VALUES(3,'van','trade',NULL);
INSERT INTO "concepts" VALUES(4,'delivery-truck','trade',NULL);
INSERT INTO "concepts" VALUES(5,'bus','trade',NULL);
INSERT INTO "concepts" VALUES(6,'taxi','trade',NULL);
INSERT INTO "concepts" VALUES(7,'tram','trade',NULL);
INSERT INTO "concepts" VALUES(8,'train','trade',NULL);
INSERT INTO "concepts" VALUES(9,'bicycle','trade',NULL);
INSERT INTO "concepts" VALUES(10,'cargo-bike','trade',NULL);
INSERT INTO "concepts" VALUES(11,'motorcycle','trade',NULL);
INSERT INTO "concepts" VALUES(12,'scooter','trade',NULL);
INSERT INTO "concepts" VALUES(13,'ambulance','trade',NULL);
INSERT INTO "concepts" VALUES(14,'police-car','trade',NULL);
INSERT INTO "concepts" VALUES(15,'tractor','trade',NULL);
INSERT INTO "concepts" VALUES(16,'wheelchair','trade',NULL);
INSERT INTO "concepts" VALUES(17,'pram','trade',NULL);
INSERT INTO "concepts" VALUES(18,'vehicle-interior','trade',NULL);
INSERT INTO "concepts" VALUES(19,'dashboard','trade',NULL);
INSERT INTO "concepts" VALUES(20,'steering-wheel','trade',NULL);
INSERT INTO "concepts" VALUES(21,'gear-stick','trade',NULL);
INSERT INTO "concepts" VALUES(22,'windscreen','trade',NULL);
INSERT INTO "concepts" VALUES(23,'rear-view-mirror','trade',NULL);
INSERT INTO "concepts" VALUES(24,'wing-mirror','trade',NULL);
INSERT INTO "concepts" VALUES(25,'driver-s-seat','trade',NULL);
INSERT INTO "concepts" VALUES(26,'front-passenger-seat','trade',NULL);
INSERT INTO "concepts" VALUES(27,'back-seat','trade',NULL);
INSERT INTO "concepts" VALUES(28,'child-seat','trade',NULL);
INSERT INTO "concepts" VALUES(29,'seat-belt','trade',NULL);
INSERT INTO "concepts" VALUES(30,'sat-nav','trade',NULL);
INSERT INTO "concepts" VALUES(31,'glove-compartment','trade',NULL);
INSERT INTO "concepts" VALUES(32,'vehicle-part','trade',NULL);
INSERT INTO "concepts" VALUES(33,'hood','trade',NULL);
INSERT INTO "concepts" VALUES(34,'headlight','trade',NULL);
INSERT INTO "concepts" VALUES(35,'tail-light','trade',NULL);
INSERT INTO "concepts" VALUES(36,'wheel','trade',NULL);
INSERT INTO "concepts" VALUES(37,'number-plate','trade',NULL);
INSERT INTO "concepts" VALUES(38,'car-door','trade',NULL);
INSERT INTO "concepts" VALUES(39,'boot','trade',NULL);
INSERT INTO "concepts" VALUES(40,'car-key','trade',NULL);
INSERT INTO "concepts" VALUES(41,'hood-mount-view','trade',NULL);
INSERT INTO "concepts" VALUES(42,'hand','trade',NULL);
INSERT INTO "concepts" VALUES(43,'fist','trade',NULL);
INSERT INTO "concepts" VALUES(44,'pointing-hand','trade',NULL);
INSERT INTO "concepts" VALUES(45,'handshake','trade',NULL);
INSERT INTO "concepts" VALUES(46,'waving-hand','trade',NULL);
INSERT INTO "concepts" VALUES(47,'thumbs-up','trade',NULL);
INSERT INTO "concepts" VALUES(48,'hand-holding-phone','trade',NULL);
INSERT INTO "concepts" VALUES(49,'hand-holding-tablet','trade',NULL);
INSERT INTO "concepts" VALUES(50,'hand-holding-cup','trade',NULL);
INSERT INTO "concepts" VALUES(51,'hand-holding-pen','trade',NULL);
INSERT INTO "concepts" VALUES(52,'hands-on-steering-wheel','trade',NULL);
INSERT INTO "concepts" VALUES(53,'hands-kneading-dough','trade',NULL);
INSERT INTO "concepts" VALUES(54,'typing-hands','trade',NULL);
INSERT INTO "concepts" VALUES(55,'tapping-finger','trade',NULL);
INSERT INTO "concepts" VALUES(56,'device','trade',NULL);
INSERT INTO "concepts" VALUES(57,'phone','trade',NULL);
INSERT INTO "concepts" VALUES(58,'landline-phone','trade',NULL);
INSERT INTO "concepts" VALUES(59,'tablet','trade',NULL);
INSERT INTO "concepts" VALUES(60,'laptop','trade',NULL);
INSERT INTO "concepts" VALUES(61,'desktop-computer','trade',NULL);
INSERT INTO "concepts" VALUES(62,'computer-mouse','trade',NULL);
INSERT INTO "concepts" VALUES(63,'keyboard','trade',NULL);
INSERT INTO "concepts" VALUES(64,'screen','trade',NULL);
INSERT INTO "concepts" VALUES(65,'television','trade',NULL);
INSERT INTO "concepts" VALUES(66,'headphones','trade',NULL);
INSERT INTO "concepts" VALUES(67,'camera','trade',NULL);
INSERT INTO "concepts" VALUES(68,'smartwatch','trade',NULL);
INSERT INTO "concepts" VALUES(69,'remote-control','trade',NULL);
INSERT INTO "concepts" VALUES(70,'card-reader','trade',NULL);
INSERT INTO "concepts" VALUES(71,'ticket-machine','trade',NULL);
INSERT INTO "concepts" VALUES(72,'loudspeaker','trade',NULL);
INSERT INTO "concepts" VALUES(73,'radio','trade',NULL);
INSERT INTO "concepts" VALUES(74,'microphone','trade',NULL);
INSERT INTO "concepts" VALUES(75,'torch','trade',NULL);
INSERT INTO "concepts" VALUES(76,'person','trade',NULL);
INSERT INTO "concepts" VALUES(77,'man','trade',NULL);
INSERT INTO "concepts" VALUES(78,'woman','trade',NULL);
INSERT INTO "concepts" VALUES(79,'child','trade',NULL);
INSERT INTO "concepts" VALUES(80,'boy','trade',NULL);
INSERT INTO "concepts" VALUES(81,'girl','trade',NULL);
INSERT INTO "concepts" VALUES(82,'toddler','trade',NULL);
INSERT INTO "concepts" VALUES(83,'baby','trade',NULL);
INSERT INTO "concepts" VALUES(84,'teenager','trade',NULL);
INSERT INTO "concepts" VALUES(85,'elderly-person','trade',NULL);
INSERT INTO "concepts" VALUES(86,'grandmother','trade',NULL);
INSERT INTO "concepts" VALUES(87,'grandfather','trade',NULL);
INSERT INTO "concepts" VALUES(88,'couple','trade',NULL);
INSERT INTO "concepts" VALUES(89,'family','trade',NULL);
INSERT INTO "concepts" VALUES(90,'mother','trade',NULL);
INSERT INTO "concepts" VALUES(91,'father','trade',NULL);
INSERT INTO "concepts" VALUES(92,'crowd','trade',NULL);
INSERT INTO "concepts" VALUES(93,'queue','trade',NULL);
INSERT INTO "concepts" VALUES(94,'group-of-people','trade',NULL);
INSERT INTO "concepts" VALUES(95,'audience','trade',NULL);
INSERT INTO "concepts" VALUES(96,'passer-by','trade',NULL);
INSERT INTO "concepts" VALUES(97,'commuter','trade',NULL);
INSERT INTO "concepts" VALUES(98,'passenger','trade',NULL);
INSERT INTO "concepts" VALUES(99,'driver','trade',NULL);
INSERT INTO "concepts" VALUES(100,'cyclist','trade',NULL);
INSERT INTO "concepts" VALUES(101,'baker','trade',NULL);
INSERT INTO "concepts" VALUES(102,'cook','trade',NULL);
INSERT INTO "concepts" VALUES(103,'waiter','trade',NULL);
INSERT INTO "concepts" VALUES(104,'barista','trade',NULL);
INSERT INTO "concepts" VALUES(105,'shopkeeper','trade',NULL);
INSERT INTO "concepts" VALUES(106,'cashier','trade',NULL);
INSERT INTO "concepts" VALUES(107,'courier','trade',NULL);
INSERT INTO "concepts" VALUES(108,'skipper','trade',NULL);
INSERT INTO "concepts" VALUES(109,'deckhand','trade',NULL);
INSERT INTO "concepts" VALUES(110,'ticket-inspector','trade',NULL);
INSERT INTO "concepts" VALUES(111,'fisherman','trade',NULL);
INSERT INTO "concepts" VALUES(112,'worker','trade',NULL);
INSERT INTO "concepts" VALUES(113,'builder','trade',NULL);
INSERT INTO "concepts" VALUES(114,'office-worker','trade',NULL);
INSERT INTO "concepts" VALUES(115,'police-officer','trade',NULL);
INSERT INTO "concepts" VALUES(116,'nurse','trade',NULL);
INSERT INTO "concepts" VALUES(117,'doctor','trade',NULL);
INSERT INTO "concepts" VALUES(118,'teacher','trade',NULL);
INSERT INTO "concepts" VALUES(119,'farmer','trade',NULL);
INSERT INTO "concepts" VALUES(120,'musician','trade',NULL);
INSERT INTO "concepts" VALUES(121,'runner','trade',NULL);
INSERT INTO "concepts" VALUES(122,'face','trade',NULL);
INSERT INTO "concepts" VALUES(123,'eye','trade',NULL);
INSERT INTO "concepts" VALUES(124,'smile','trade',NULL);
INSERT INTO "concepts" VALUES(125,'silhouette','trade',NULL);
INSERT INTO "concepts" VALUES(126,'hair','trade',NULL);
INSERT INTO "concepts" VALUES(127,'foot','trade',NULL);
INSERT INTO "concepts" VALUES(128,'clothing','trade',NULL);
INSERT INTO "concepts" VALUES(129,'coat','trade',NULL);
INSERT INTO "concepts" VALUES(130,'apron','trade',NULL);
INSERT INTO "concepts" VALUES(131,'hat','trade',NULL);
INSERT INTO "concepts" VALUES(132,'scarf','trade',NULL);
INSERT INTO "concepts" VALUES(133,'glove','trade',NULL);
INSERT INTO "concepts" VALUES(134,'shoe','trade',NULL);
INSERT INTO "concepts" VALUES(135,'dress','trade',NULL);
INSERT INTO "concepts" VALUES(136,'shirt','trade',NULL);
INSERT INTO "concepts" VALUES(137,'trousers','trade',NULL);
INSERT INTO "concepts" VALUES(138,'glasses','trade',NULL);
INSERT INTO "concepts" VALUES(139,'high-vis-vest','trade',NULL);
INSERT INTO "concepts" VALUES(140,'life-jacket','trade',NULL);
INSERT INTO "concepts" VALUES(141,'bag','trade',NULL);
INSERT INTO "concepts" VALUES(142,'backpack','trade',NULL);
INSERT INTO "concepts" VALUES(143,'suitcase','trade',NULL);
INSERT INTO "concepts" VALUES(144,'shopping-bag','trade',NULL);
INSERT INTO "concepts" VALUES(145,'briefcase','trade',NULL);
INSERT INTO "concepts" VALUES(146,'umbrella','trade',NULL);
INSERT INTO "concepts" VALUES(147,'wristwatch','trade',NULL);
INSERT INTO "concepts" VALUES(148,'ring','trade',NULL);
INSERT INTO "concepts" VALUES(149,'key','trade',NULL);
INSERT INTO "concepts" VALUES(150,'wallet','trade',NULL);
INSERT INTO "concepts" VALUES(151,'animal','trade',NULL);
INSERT INTO "concepts" VALUES(152,'dog','trade',NULL);
INSERT INTO "concepts" VALUES(153,'dog-lead','trade',NULL);
INSERT INTO "concepts" VALUES(154,'cat','trade',NULL);
INSERT INTO "concepts" VALUES(155,'bird','trade',NULL);
INSERT INTO "concepts" VALUES(156,'gull','trade',NULL);
INSERT INTO "concepts" VALUES(157,'pigeon','trade',NULL);
INSERT INTO "concepts" VALUES(158,'horse','trade',NULL);
INSERT INTO "concepts" VALUES(159,'cow','trade',NULL);
INSERT INTO "concepts" VALUES(160,'sheep','trade',NULL);
INSERT INTO "concepts" VALUES(161,'hen','trade',NULL);
INSERT INTO "concepts" VALUES(162,'fish','trade',NULL);
INSERT INTO "concepts" VALUES(163,'fox','trade',NULL);
INSERT INTO "concepts" VALUES(164,'street','trade',NULL);
INSERT INTO "concepts" VALUES(165,'street-front','trade',NULL);
INSERT INTO "concepts" VALUES(166,'high-street','trade',NULL);
INSERT INTO "concepts" VALUES(167,'alley','trade',NULL);
INSERT INTO "concepts" VALUES(168,'junction','trade',NULL);
INSERT INTO "concepts" VALUES(169,'zebra-crossing','trade',NULL);
INSERT INTO "concepts" VALUES(170,'pavement','trade',NULL);
INSERT INTO "concepts" VALUES(171,'street-lamp','trade',NULL);
INSERT INTO "concepts" VALUES(172,'traffic-light','trade',NULL);
INSERT INTO "concepts" VALUES(173,'road-sign','trade',NULL);
INSERT INTO "concepts" VALUES(174,'sign','trade',NULL);
INSERT INTO "concepts" VALUES(175,'bus-stop','trade',NULL);
INSERT INTO "concepts" VALUES(176,'bench','trade',NULL);
INSERT INTO "concepts" VALUES(177,'bollard','trade',NULL);
INSERT INTO "concepts" VALUES(178,'bin','trade',NULL);
INSERT INTO "concepts" VALUES(179,'post-box','trade',NULL);
INSERT INTO "concepts" VALUES(180,'fence','trade',NULL);
INSERT INTO "concepts" VALUES(181,'wall','trade',NULL);
INSERT INTO "concepts" VALUES(182,'bridge','trade',NULL);
INSERT INTO "concepts" VALUES(183,'building','trade',NULL);
INSERT INTO "concepts" VALUES(184,'house','trade',NULL);
INSERT INTO "concepts" VALUES(185,'apartment-block','trade',NULL);
INSERT INTO "concepts" VALUES(186,'skyscraper','trade',NULL);
INSERT INTO "concepts" VALUES(187,'shop','trade',NULL);
INSERT INTO "concepts" VALUES(188,'bakery','trade',NULL);
INSERT INTO "concepts" VALUES(189,'cafe','trade',NULL);
INSERT INTO "concepts" VALUES(190,'restaurant','trade',NULL);
INSERT INTO "concepts" VALUES(191,'supermarket','trade',NULL);
INSERT INTO "concepts" VALUES(192,'market-stall','trade',NULL);
INSERT INTO "concepts" VALUES(193,'school','trade',NULL);
INSERT INTO "concepts" VALUES(194,'hospital','trade',NULL);
INSERT INTO "concepts" VALUES(195,'station','trade',NULL);
INSERT INTO "concepts" VALUES(196,'garage','trade',NULL);
INSERT INTO "concepts" VALUES(197,'warehouse','trade',NULL);
INSERT INTO "concepts" VALUES(198,'church','trade',NULL);
INSERT INTO "concepts" VALUES(199,'lighthouse','trade',NULL);
INSERT INTO "concepts" VALUES(200,'petrol-station','trade',NULL);
INSERT INTO "concepts" VALUES(201,'door','trade',NULL);
INSERT INTO "concepts" VALUES(202,'window','trade',NULL);
INSERT INTO "concepts" VALUES(203,'stairs','trade',NULL);
INSERT INTO "concepts" VALUES(204,'roof','trade',NULL);
INSERT INTO "concepts" VALUES(205,'room','trade',NULL);
INSERT INTO "concepts" VALUES(206,'kitchen','trade',NULL);
INSERT INTO "concepts" VALUES(207,'living-room','trade',NULL);
INSERT INTO "concepts" VALUES(208,'bedroom','trade',NULL);
INSERT INTO "concepts" VALUES(209,'bathroom','trade',NULL);
INSERT INTO "concepts" VALUES(210,'office','trade',NULL);
INSERT INTO "concepts" VALUES(211,'classroom','trade',NULL);
INSERT INTO "concepts" VALUES(212,'corridor','trade',NULL);
INSERT INTO "concepts" VALUES(213,'shop-counter','trade',NULL);
INSERT INTO "concepts" VALUES(214,'waiting-room','trade',NULL);
INSERT INTO "concepts" VALUES(215,'furniture','trade',NULL);
INSERT INTO "concepts" VALUES(216,'chair','trade',NULL);
INSERT INTO "concepts" VALUES(217,'armchair','trade',NULL);
INSERT INTO "concepts" VALUES(218,'high-chair','trade',NULL);
INSERT INTO "concepts" VALUES(219,'sofa','trade',NULL);
INSERT INTO "concepts" VALUES(220,'table','trade',NULL);
INSERT INTO "concepts" VALUES(221,'desk','trade',NULL);
INSERT INTO "concepts" VALUES(222,'bed','trade',NULL);
INSERT INTO "concepts" VALUES(223,'cot','trade',NULL);
INSERT INTO "concepts" VALUES(224,'shelf','trade',NULL);
INSERT INTO "concepts" VALUES(225,'cupboard','trade',NULL);
INSERT INTO "concepts" VALUES(226,'lamp','trade',NULL);
INSERT INTO "concepts" VALUES(227,'mirror','trade',NULL);
INSERT INTO "concepts" VALUES(228,'picture-frame','trade',NULL);
INSERT INTO "concepts" VALUES(229,'clock','trade',NULL);
INSERT INTO "concepts" VALUES(230,'curtain','trade',NULL);
INSERT INTO "concepts" VALUES(231,'plant','trade',NULL);
INSERT INTO "concepts" VALUES(232,'flower','trade',NULL);
INSERT INTO "concepts" VALUES(233,'tree','trade',NULL);
INSERT INTO "concepts" VALUES(234,'cooker','trade',NULL);
INSERT INTO "concepts" VALUES(235,'oven','trade',NULL);
INSERT INTO "concepts" VALUES(236,'fridge','trade',NULL);
INSERT INTO "concepts" VALUES(237,'sink','trade',NULL);
INSERT INTO "concepts" VALUES(238,'tap','trade',NULL);
INSERT INTO "concepts" VALUES(239,'kettle','trade',NULL);
INSERT INTO "concepts" VALUES(240,'frying-pan','trade',NULL);
INSERT INTO "concepts" VALUES(241,'pot','trade',NULL);
INSERT INTO "concepts" VALUES(242,'food','trade',NULL);
INSERT INTO "concepts" VALUES(243,'bread','trade',NULL);
INSERT INTO "concepts" VALUES(244,'bread-roll','trade',NULL);
INSERT INTO "concepts" VALUES(245,'baguette','trade',NULL);
INSERT INTO "concepts" VALUES(246,'croissant','trade',NULL);
INSERT INTO "concepts" VALUES(247,'pastry','trade',NULL);
INSERT INTO "concepts" VALUES(248,'cake','trade',NULL);
INSERT INTO "concepts" VALUES(249,'pie','trade',NULL);
INSERT INTO "concepts" VALUES(250,'biscuit','trade',NULL);
INSERT INTO "concepts" VALUES(251,'doughnut','trade',NULL);
INSERT INTO "concepts" VALUES(252,'dough','trade',NULL);
INSERT INTO "concepts" VALUES(253,'flour','trade',NULL);
INSERT INTO "concepts" VALUES(254,'sandwich','trade',NULL);
INSERT INTO "concepts" VALUES(255,'pizza','trade',NULL);
INSERT INTO "concepts" VALUES(256,'cheese','trade',NULL);
INSERT INTO "concepts" VALUES(257,'egg','trade',NULL);
INSERT INTO "concepts" VALUES(258,'fruit','trade',NULL);
INSERT INTO "concepts" VALUES(259,'vegetable','trade',NULL);
INSERT INTO "concepts" VALUES(260,'butter','trade',NULL);
INSERT INTO "concepts" VALUES(261,'drink','trade',NULL);
INSERT INTO "concepts" VALUES(262,'coffee','trade',NULL);
INSERT INTO "concepts" VALUES(263,'tea','trade',NULL);
INSERT INTO "concepts" VALUES(264,'milk','trade',NULL);
INSERT INTO "concepts" VALUES(265,'beer','trade',NULL);
INSERT INTO "concepts" VALUES(266,'wine','trade',NULL);
INSERT INTO "concepts" VALUES(267,'water-bottle','trade',NULL);
INSERT INTO "concepts" VALUES(268,'bottle','trade',NULL);
INSERT INTO "concepts" VALUES(269,'cup','trade',NULL);
INSERT INTO "concepts" VALUES(270,'takeaway-cup','trade',NULL);
INSERT INTO "concepts" VALUES(271,'glass','trade',NULL);
INSERT INTO "concepts" VALUES(272,'plate','trade',NULL);
INSERT INTO "concepts" VALUES(273,'tableware','trade',NULL);
INSERT INTO "concepts" VALUES(274,'knife','trade',NULL);
INSERT INTO "concepts" VALUES(275,'rolling-pin','trade',NULL);
INSERT INTO "concepts" VALUES(276,'baking-tray','trade',NULL);
INSERT INTO "concepts" VALUES(277,'bread-basket','trade',NULL);
INSERT INTO "concepts" VALUES(278,'whisk','trade',NULL);
INSERT INTO "concepts" VALUES(279,'till','trade',NULL);
INSERT INTO "concepts" VALUES(280,'money','trade',NULL);
INSERT INTO "concepts" VALUES(281,'price-tag','trade',NULL);
INSERT INTO "concepts" VALUES(282,'box','trade',NULL);
INSERT INTO "concepts" VALUES(283,'parcel','trade',NULL);
INSERT INTO "concepts" VALUES(284,'paper-bag','trade',NULL);
INSERT INTO "concepts" VALUES(285,'product-pack','trade',NULL);
INSERT INTO "concepts" VALUES(286,'delivery','trade',NULL);
INSERT INTO "concepts" VALUES(287,'newspaper','trade',NULL);
INSERT INTO "concepts" VALUES(288,'book','trade',NULL);
INSERT INTO "concepts" VALUES(289,'letter','trade',NULL);
INSERT INTO "concepts" VALUES(290,'map','trade',NULL);
INSERT INTO "concepts" VALUES(291,'ticket','trade',NULL);
INSERT INTO "concepts" VALUES(292,'pen','trade',NULL);
INSERT INTO "concepts" VALUES(293,'toy','trade',NULL);
INSERT INTO "concepts" VALUES(294,'ball','trade',NULL);
INSERT INTO "concepts" VALUES(295,'boat','trade',NULL);
INSERT INTO "concepts" VALUES(296,'ferry','trade',NULL);
INSERT INTO "concepts" VALUES(297,'sailing-boat','trade',NULL);
INSERT INTO "concepts" VALUES(298,'rowing-boat','trade',NULL);
INSERT INTO "concepts" VALUES(299,'fishing-boat','trade',NULL);
INSERT INTO "concepts" VALUES(300,'ship','trade',NULL);
INSERT INTO "concepts" VALUES(301,'canoe','trade',NULL);
INSERT INTO "concepts" VALUES(302,'ship-s-deck','trade',NULL);
INSERT INTO "concepts" VALUES(303,'gangway','trade',NULL);
INSERT INTO "concepts" VALUES(304,'ship-s-bridge','trade',NULL);
INSERT INTO "concepts" VALUES(305,'mast','trade',NULL);
INSERT INTO "concepts" VALUES(306,'lifebuoy','trade',NULL);
INSERT INTO "concepts" VALUES(307,'anchor','trade',NULL);
INSERT INTO "concepts" VALUES(308,'rope','trade',NULL);
INSERT INTO "concepts" VALUES(309,'harbour','trade',NULL);
INSERT INTO "concepts" VALUES(310,'quay','trade',NULL);
INSERT INTO "concepts" VALUES(311,'pier','trade',NULL);
INSERT INTO "concepts" VALUES(312,'harbour-crane','trade',NULL);
INSERT INTO "concepts" VALUES(313,'container','trade',NULL);
INSERT INTO "concepts" VALUES(314,'buoy','trade',NULL);
INSERT INTO "concepts" VALUES(315,'landscape','trade',NULL);
INSERT INTO "concepts" VALUES(316,'sea','trade',NULL);
INSERT INTO "concepts" VALUES(317,'wave','trade',NULL);
INSERT INTO "concepts" VALUES(318,'beach','trade',NULL);
INSERT INTO "concepts" VALUES(319,'island','trade',NULL);
INSERT INTO "concepts" VALUES(320,'cliff','trade',NULL);
INSERT INTO "concepts" VALUES(321,'mountain','trade',NULL);
INSERT INTO "concepts" VALUES(322,'river','trade',NULL);
INSERT INTO "concepts" VALUES(323,'field','trade',NULL);
INSERT INTO "concepts" VALUES(324,'forest','trade',NULL);
INSERT INTO "concepts" VALUES(325,'park','trade',NULL);
INSERT INTO "concepts" VALUES(326,'city','trade',NULL);
INSERT INTO "concepts" VALUES(327,'village','trade',NULL);
INSERT INTO "concepts" VALUES(328,'sky','trade',NULL);
INSERT INTO "concepts" VALUES(329,'weather','trade',NULL);
INSERT INTO "concepts" VALUES(330,'rain','trade',NULL);
INSERT INTO "concepts" VALUES(331,'snow','trade',NULL);
INSERT INTO "concepts" VALUES(332,'fog','trade',NULL);
INSERT INTO "concepts" VALUES(333,'wind','trade',NULL);
INSERT INTO "concepts" VALUES(334,'storm','trade',NULL);
INSERT INTO "concepts" VALUES(335,'cloud','trade',NULL);
INSERT INTO "concepts" VALUES(336,'sun','trade',NULL);
INSERT INTO "concepts" VALUES(337,'moon','trade',NULL);
INSERT INTO "concepts" VALUES(338,'star','trade',NULL);
INSERT INTO "concepts" VALUES(339,'dawn','trade',NULL);
INSERT INTO "concepts" VALUES(340,'dusk','trade',NULL);
INSERT INTO "concepts" VALUES(341,'puddle','trade',NULL);
INSERT INTO "concepts" VALUES(342,'smoke','trade',NULL);
INSERT INTO "concepts" VALUES(343,'fire','trade',NULL);
INSERT INTO "concepts" VALUES(344,'arrow','trade',NULL);
INSERT INTO "concepts" VALUES(345,'camera-move-arrow','trade',NULL);
INSERT INTO "concepts" VALUES(346,'actor-move-arrow','trade',NULL);
INSERT INTO "concepts" VALUES(347,'curved-arrow','trade',NULL);
INSERT INTO "concepts" VALUES(348,'straight-arrow','trade',NULL);
INSERT INTO "concepts" VALUES(349,'double-arrow','trade',NULL);
INSERT INTO "concepts" VALUES(350,'zoom-arrow','trade',NULL);
INSERT INTO "concepts" VALUES(351,'speed-lines','trade',NULL);
INSERT INTO "concepts" VALUES(352,'frame-outline','trade',NULL);
INSERT INTO "concepts" VALUES(353,'speech-bubble','trade',NULL);
INSERT INTO "concepts" VALUES(354,'thought-bubble','trade',NULL);
INSERT INTO "concepts" VALUES(355,'impact-star','trade',NULL);
INSERT INTO "concepts" VALUES(356,'lettering','trade',NULL);
INSERT INTO "concepts" VALUES(357,'mirror-guard','trade',NULL);
INSERT INTO "concepts" VALUES(358,'logo-space','trade',NULL);
INSERT INTO "concepts" VALUES(359,'ground-shadow','trade',NULL);
INSERT INTO "concepts" VALUES(360,'floor-grid','trade',NULL);
INSERT INTO "concepts" VALUES(361,'tool','trade',NULL);
INSERT INTO "concepts" VALUES(362,'ladder','trade',NULL);
INSERT INTO "concepts" VALUES(363,'trolley','trade',NULL);
INSERT INTO "concepts" VALUES(364,'broom','trade',NULL);
INSERT INTO "concepts" VALUES(365,'bucket','trade',NULL);
INSERT INTO "concepts" VALUES(366,'balloon','trade',NULL);
INSERT INTO "concepts" VALUES(367,'flag','trade',NULL);
INSERT INTO "concepts" VALUES(368,'gift','trade',NULL);
INSERT INTO "concepts" VALUES(369,'candle','trade',NULL);
INSERT INTO "concepts" VALUES(370,'guitar','trade',NULL);
INSERT INTO "concepts" VALUES(371,'spade','trade',NULL);
INSERT INTO "concepts" VALUES(372,'explosion','trade',NULL);
INSERT INTO "concepts" VALUES(373,'kiss','trade',NULL);
INSERT INTO "concepts" VALUES(374,'hug','trade',NULL);
INSERT INTO "concepts" VALUES(375,'conversation','trade',NULL);
INSERT INTO "concepts" VALUES(376,'phone-call','trade',NULL);
INSERT INTO "concepts" VALUES(377,'selfie','trade',NULL);
INSERT INTO "concepts" VALUES(378,'video-call','trade',NULL);
INSERT INTO "concepts" VALUES(379,'working','trade',NULL);
INSERT INTO "concepts" VALUES(380,'reading','trade',NULL);
INSERT INTO "concepts" VALUES(381,'sleeping','trade',NULL);
INSERT INTO "concepts" VALUES(382,'eating','trade',NULL);
INSERT INTO "concepts" VALUES(383,'drinking','trade',NULL);
INSERT INTO "concepts" VALUES(384,'cooking','trade',NULL);
INSERT INTO "concepts" VALUES(385,'baking','trade',NULL);
INSERT INTO "concepts" VALUES(386,'shopping','trade',NULL);
INSERT INTO "concepts" VALUES(387,'cycling','trade',NULL);
INSERT INTO "concepts" VALUES(388,'jumping','trade',NULL);
INSERT INTO "concepts" VALUES(389,'dancing','trade',NULL);
INSERT INTO "concepts" VALUES(390,'falling','trade',NULL);
INSERT INTO "concepts" VALUES(391,'climbing','trade',NULL);
INSERT INTO "concepts" VALUES(392,'carrying','trade',NULL);
INSERT INTO "concepts" VALUES(393,'kneeling','trade',NULL);
INSERT INTO "concepts" VALUES(394,'facet-shot-size','trade',NULL);
INSERT INTO "concepts" VALUES(395,'shot-size-ecu','trade',NULL);
INSERT INTO "concepts" VALUES(396,'shot-size-cu','trade',NULL);
INSERT INTO "concepts" VALUES(397,'shot-size-mcu','trade',NULL);
INSERT INTO "concepts" VALUES(398,'shot-size-ms','trade',NULL);
INSERT INTO "concepts" VALUES(399,'shot-size-mws','trade',NULL);
INSERT INTO "concepts" VALUES(400,'shot-size-fs','trade',NULL);
INSERT INTO "concepts" VALUES(401,'shot-size-ws','trade',NULL);
INSERT INTO "concepts" VALUES(402,'shot-size-ews','trade',NULL);
INSERT INTO "concepts" VALUES(403,'shot-size-product-shot','trade',NULL);
INSERT INTO "concepts" VALUES(404,'facet-shot-type','trade',NULL);
INSERT INTO "concepts" VALUES(405,'shot-type-single','trade',NULL);
INSERT INTO "concepts" VALUES(406,'shot-type-two-shot','trade',NULL);
INSERT INTO "concepts" VALUES(407,'shot-type-three-shot','trade',NULL);
INSERT INTO "concepts" VALUES(408,'shot-type-group','trade',NULL);
INSERT INTO "concepts" VALUES(409,'shot-type-over-the-shoulder','trade',NULL);
INSERT INTO "concepts" VALUES(410,'shot-type-point-of-view','trade',NULL);
INSERT INTO "concepts" VALUES(411,'shot-type-reverse','trade',NULL);
INSERT INTO "concepts" VALUES(412,'shot-type-insert','trade',NULL);
INSERT INTO "concepts" VALUES(413,'shot-type-cutaway','trade',NULL);
INSERT INTO "concepts" VALUES(414,'shot-type-establishing','trade',NULL);
INSERT INTO "concepts" VALUES(415,'facet-camera-angle','trade',NULL);
INSERT INTO "concepts" VALUES(416,'camera-angle-eye-level','trade',NULL);
INSERT INTO "concepts" VALUES(417,'camera-angle-low','trade',NULL);
INSERT INTO "concepts" VALUES(418,'camera-angle-high','trade',NULL);
INSERT INTO "concepts" VALUES(419,'camera-angle-overhead','trade',NULL);
INSERT INTO "concepts" VALUES(420,'camera-angle-worm-s-eye','trade',NULL);
INSERT INTO "concepts" VALUES(421,'camera-angle-dutch','trade',NULL);
INSERT INTO "concepts" VALUES(422,'facet-camera-position','trade',NULL);
INSERT INTO "concepts" VALUES(423,'camera-position-hood-mount','trade',NULL);
INSERT INTO "concepts" VALUES(424,'camera-position-side-mount','trade',NULL);
INSERT INTO "concepts" VALUES(425,'camera-position-dash','trade',NULL);
INSERT INTO "concepts" VALUES(426,'camera-position-driver-s-seat','trade',NULL);
INSERT INTO "concepts" VALUES(427,'camera-position-front-passenger','trade',NULL);
INSERT INTO "concepts" VALUES(428,'camera-position-back-seat','trade',NULL);
INSERT INTO "concepts" VALUES(429,'facet-camera-move','trade',NULL);
INSERT INTO "concepts" VALUES(430,'camera-move-static','trade',NULL);
INSERT INTO "concepts" VALUES(431,'camera-move-pan','trade',NULL);
INSERT INTO "concepts" VALUES(432,'camera-move-tilt','trade',NULL);
INSERT INTO "concepts" VALUES(433,'camera-move-dolly','trade',NULL);
INSERT INTO "concepts" VALUES(434,'camera-move-push-in','trade',NULL);
INSERT INTO "concepts" VALUES(435,'camera-move-pull-out','trade',NULL);
INSERT INTO "concepts" VALUES(436,'camera-move-crane','trade',NULL);
INSERT INTO "concepts" VALUES(437,'camera-move-zoom','trade',NULL);
INSERT INTO "concepts" VALUES(438,'camera-move-handheld','trade',NULL);
INSERT INTO "concepts" VALUES(439,'facet-setting','trade',NULL);
INSERT INTO "concepts" VALUES(440,'setting-int','trade',NULL);
INSERT INTO "concepts" VALUES(441,'setting-ext','trade',NULL);
INSERT INTO "concepts" VALUES(442,'facet-time','trade',NULL);
INSERT INTO "concepts" VALUES(443,'time-day','trade',NULL);
INSERT INTO "concepts" VALUES(444,'time-night','trade',NULL);
INSERT INTO "concepts" VALUES(445,'facet-screen-direction','trade',NULL);
INSERT INTO "concepts" VALUES(446,'screen-direction-left-to-right','trade',NULL);
INSERT INTO "concepts" VALUES(447,'screen-direction-right-to-left','trade',NULL);
INSERT INTO "concepts" VALUES(448,'screen-direction-toward-camera','trade',NULL);
INSERT INTO "concepts" VALUES(449,'screen-direction-away-from-camera','trade',NULL);
INSERT INTO "concepts" VALUES(450,'facet-view','trade',NULL);
INSERT INTO "concepts" VALUES(451,'view-front','trade',NULL);
INSERT INTO "concepts" VALUES(452,'view-three-quarter-front','trade',NULL);
INSERT INTO "concepts" VALUES(453,'view-profile','trade',NULL);
INSERT INTO "concepts" VALUES(454,'view-three-quarter-back','trade',NULL);
INSERT INTO "concepts" VALUES(455,'view-back','trade',NULL);
INSERT INTO "concepts" VALUES(456,'view-from-above','trade',NULL);
INSERT INTO "concepts" VALUES(457,'view-from-below','trade',NULL);
INSERT INTO "concepts" VALUES(458,'facet-pose','trade',NULL);
INSERT INTO "concepts" VALUES(459,'pose-standing','trade',NULL);
INSERT INTO "concepts" VALUES(460,'pose-seated','trade',NULL);
INSERT INTO "concepts" VALUES(461,'pose-driving','trade',NULL);
INSERT INTO "concepts" VALUES(462,'pose-walking','trade',NULL);
INSERT INTO "concepts" VALUES(463,'pose-running','trade',NULL);
INSERT INTO "concepts" VALUES(464,'pose-leaning','trade',NULL);
INSERT INTO "concepts" VALUES(465,'pose-lying','trade',NULL);
INSERT INTO "concepts" VALUES(466,'facet-age-group','trade',NULL);
INSERT INTO "concepts" VALUES(467,'age-group-baby','trade',NULL);
INSERT INTO "concepts" VALUES(468,'age-group-child','trade',NULL);
INSERT INTO "concepts" VALUES(469,'age-group-teenager','trade',NULL);
INSERT INTO "concepts" VALUES(470,'age-group-adult','trade',NULL);
INSERT INTO "concepts" VALUES(471,'age-group-elderly','trade',NULL);
INSERT INTO "concepts" VALUES(472,'facet-hand','trade',NULL);
INSERT INTO "concepts" VALUES(473,'hand-left','trade',NULL);
INSERT INTO "concepts" VALUES(474,'hand-right','trade',NULL);
INSERT INTO "concepts" VALUES(475,'hand-both','trade',NULL);
INSERT INTO "concepts" VALUES(476,'facet-mirror','trade',NULL);
INSERT INTO "concepts" VALUES(477,'mirror-do-not-mirror','trade',NULL);
INSERT INTO "concepts" VALUES(478,'facet-finish','trade',NULL);
INSERT INTO "concepts" VALUES(479,'finish-rough','trade',NULL);
INSERT INTO "concepts" VALUES(480,'finish-clean-line','trade',NULL);
INSERT INTO "concepts" VALUES(481,'finish-tone','trade',NULL);
INSERT INTO "concepts" VALUES(482,'finish-colour','trade',NULL);
INSERT INTO "concepts" VALUES(483,'facet-perspective','trade',NULL);
INSERT INTO "concepts" VALUES(484,'perspective-flat','trade',NULL);
INSERT INTO "concepts" VALUES(485,'perspective-one-point','trade',NULL);
INSERT INTO "concepts" VALUES(486,'perspective-two-point','trade',NULL);
INSERT INTO "concepts" VALUES(487,'perspective-three-point','trade',NULL);
CREATE TABLE cut_orders (
	id INTEGER NOT NULL, 
	entry_id INTEGER NOT NULL, 
	page INTEGER NOT NULL, 
	corrections TEXT NOT NULL, 
	cut_at TEXT NOT NULL, 
	CONSTRAINT pk_cut_orders PRIMARY KEY (id), 
	CONSTRAINT fk_cut_orders_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id), 
	CONSTRAINT uq_cut_orders_entry_id_page UNIQUE (entry_id, page)
);
INSERT INTO "cut_orders" VALUES(1,3,0,'{"boxes":[],"drop":[],"gap":null,"join":[],"split":[]}','2026-11-25T13:39:35.331083Z');
CREATE TABLE derived (
	id INTEGER NOT NULL, 
	version_id INTEGER NOT NULL, 
	recipe_id INTEGER NOT NULL, 
	path TEXT, 
	value TEXT, 
	failure TEXT, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_derived PRIMARY KEY (id), 
	CONSTRAINT fk_derived_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipes (id), 
	CONSTRAINT fk_derived_version_id FOREIGN KEY(version_id) REFERENCES versions (id) ON DELETE CASCADE, 
	CONSTRAINT uq_derived_version_id_recipe_id UNIQUE (version_id, recipe_id)
);
INSERT INTO "derived" VALUES(1,1,1,'proof/00/0064b029-208a-419a-9574-705e828567bb.webp',NULL,NULL,'2026-11-25T13:39:30.887365Z');
INSERT INTO "derived" VALUES(2,2,1,'proof/01/01aa82b7-3e01-45b4-a1d8-25b71b7d7248.webp',NULL,NULL,'2026-11-25T13:39:33.807077Z');
INSERT INTO "derived" VALUES(3,1,2,'clean-copy/00/0064b029-208a-419a-9574-705e828567bb-adb43179.png',NULL,NULL,'2026-11-25T13:39:37.085584Z');
CREATE TABLE descents (
	id INTEGER NOT NULL, 
	child_id INTEGER NOT NULL, 
	parent_id INTEGER NOT NULL, 
	how TEXT NOT NULL, 
	source TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_descents PRIMARY KEY (id), 
	CONSTRAINT ck_descents_not_itself CHECK (child_id <> parent_id), 
	CONSTRAINT fk_descents_child_id FOREIGN KEY(child_id) REFERENCES versions (id), 
	CONSTRAINT fk_descents_parent_id FOREIGN KEY(parent_id) REFERENCES versions (id), 
	CONSTRAINT uq_descents_child_id_parent_id UNIQUE (child_id, parent_id)
);
CREATE TABLE entries (
	id INTEGER NOT NULL, 
	uuid TEXT NOT NULL, 
	role TEXT NOT NULL, 
	title TEXT NOT NULL, 
	title_source TEXT NOT NULL, 
	note TEXT, 
	in_attic BOOLEAN NOT NULL, 
	described_at TEXT, 
	added_at TEXT NOT NULL, 
	current_version_id INTEGER, 
	CONSTRAINT pk_entries PRIMARY KEY (id), 
	CONSTRAINT ck_entries_role CHECK (role IN ('element', 'sheet', 'reference', 'backdrop')), 
	CONSTRAINT fk_entries_current_version_id FOREIGN KEY(current_version_id) REFERENCES versions (id), 
	CONSTRAINT fk_entries_id FOREIGN KEY(id) REFERENCES codes (id), 
	CONSTRAINT uq_entries_uuid UNIQUE (uuid)
);
INSERT INTO "entries" VALUES(1,'145cec47-a5cc-45ce-bab3-e55782825307','element','baker CU','file name','for the bakery van',0,'2026-11-25T13:39:35.575566Z','2026-11-25T13:39:30.841337Z',1);
INSERT INTO "entries" VALUES(3,'9901ec72-5f78-4259-a16c-0846fa682b59','sheet','bakers and crates','file name',NULL,0,NULL,'2026-11-25T13:39:33.785302Z',2);
INSERT INTO "entries" VALUES(4,'05331d58-1840-433a-b0d3-d947dc1369bd','element','bakers and crates 1','file name',NULL,0,NULL,'2026-11-25T13:39:35.344099Z',3);
INSERT INTO "entries" VALUES(5,'8c9e1667-5edf-4654-86ae-6ffe9da8867c','element','bakers and crates 2','file name',NULL,0,NULL,'2026-11-25T13:39:35.361295Z',4);
PRAGMA writable_schema=ON;
INSERT INTO sqlite_master(type,name,tbl_name,rootpage,sql)VALUES('table','entry_text','entry_text',0,'CREATE VIRTUAL TABLE entry_text USING fts5(
    title, tags, facets, words, path,
    tokenize = "porter unicode61 remove_diacritics 2",
    prefix = "2 3"
)');
INSERT INTO "entry_text" VALUES('baker CU','baker','standing','for the bakery van','baker CU tmpvhy per');
INSERT INTO "entry_text" VALUES('bakers and crates','','','','bakers crates tmpvhy per');
INSERT INTO "entry_text" VALUES('bakers and crates 1','','','','bakers crates tmpvhy per');
INSERT INTO "entry_text" VALUES('bakers and crates 2','','','','bakers crates tmpvhy per');
CREATE TABLE 'entry_text_config'(k PRIMARY KEY, v) WITHOUT ROWID;
INSERT INTO "entry_text_config" VALUES('version',4);
CREATE TABLE 'entry_text_content'(id INTEGER PRIMARY KEY, c0, c1, c2, c3, c4);
INSERT INTO "entry_text_content" VALUES(1,'baker CU','baker','standing','for the bakery van','baker CU tmpvhy per');
INSERT INTO "entry_text_content" VALUES(3,'bakers and crates','','','','bakers crates tmpvhy per');
INSERT INTO "entry_text_content" VALUES(4,'bakers and crates 1','','','','bakers crates tmpvhy per');
INSERT INTO "entry_text_content" VALUES(5,'bakers and crates 2','','','','bakers crates tmpvhy per');
CREATE TABLE 'entry_text_data'(id INTEGER PRIMARY KEY, block BLOB);
INSERT INTO "entry_text_data" VALUES(1,X'040D01010410');
INSERT INTO "entry_text_data" VALUES(10,X'000000000106060006010101020101030101040101050101060101');
INSERT INTO "entry_text_data" VALUES(137438953473,X'00000082063062616B6572010E0201010201040201026375010803010403010370657201060104050106746D7076687901060104040003316261010E02010102010402010263750108030104030102706501060104050102746D010601040400043262616B010E02010102010402010370657201060104050103746D70010601040404100A0A0D0E0A09090F0A');
INSERT INTO "entry_text_data" VALUES(274877906945,X'0000009E0430616E64030203010562616B657203080201040201056372617465030804010403010370657203060104050106746D707668790306010404000331616E03020301026261030802010402010263720308040104030102706503060104050102746D0306010404000432616E64030203010362616B0308020104020103637261030804010403010370657203060104050103746D70030601040404080D0D0A0D080A0A0909090B0B0A');
INSERT INTO "entry_text_data" VALUES(412316860417,X'000000A40230310402050103616E64040203010562616B657204080201040201056372617465040804010403010370657204060104050106746D707668790406010404000331616E04020301026261040802010402010263720408040104030102706504060104050102746D0406010404000432616E64040203010362616B0408020104020103637261040804010403010370657204060104050103746D7004060104040406080D0D0A0D080A0A0909090B0B0A');
INSERT INTO "entry_text_data" VALUES(549755813889,X'000000A40230320502050103616E64050203010562616B657205080201040201056372617465050804010403010370657205060104050106746D707668790506010404000331616E05020301026261050802010402010263720508040104030102706505060104050102746D0506010404000432616E64050203010362616B0508020104020103637261050804010403010370657205060104050103746D7005060104040406080D0D0A0D080A0A0909090B0B0A');
INSERT INTO "entry_text_data" VALUES(687194767361,X'00000053063062616B65720101010263750101010370657201010106746D707668790101000331626101010102637501010102706501010102746D010100043262616B0101010370657201010103746D700101040906070A070606060807');
INSERT INTO "entry_text_data" VALUES(824633720833,X'00000103063062616B6572010E020101020104020601690106010304010263750108030104030103666F7201060103020103706572010601040501057374616E6401060102020103746865010601030302056D707668790106010404010376616E01060103050003316261011402010102010304010402010263750108030104030102666F010601030201027065010601040501027374010601020201027468010601030302016D010601040401027661010601030500043262616B0114020101020103040104020103666F72010601030201037065720106010405010373746101060102020103746865010601030302026D700106010404010376616E01060103050410080A0A0A0C0A0C0A110A090909090809120A0A0A0A09');
CREATE TABLE 'entry_text_docsize'(id INTEGER PRIMARY KEY, sz BLOB);
INSERT INTO "entry_text_docsize" VALUES(1,X'0201010404');
INSERT INTO "entry_text_docsize" VALUES(3,X'0300000004');
INSERT INTO "entry_text_docsize" VALUES(4,X'0400000004');
INSERT INTO "entry_text_docsize" VALUES(5,X'0400000004');
CREATE TABLE 'entry_text_idx'(segid, term, pgno, PRIMARY KEY(segid, term)) WITHOUT ROWID;
INSERT INTO "entry_text_idx" VALUES(1,X'',2);
INSERT INTO "entry_text_idx" VALUES(2,X'',2);
INSERT INTO "entry_text_idx" VALUES(3,X'',2);
INSERT INTO "entry_text_idx" VALUES(4,X'',2);
INSERT INTO "entry_text_idx" VALUES(5,X'',2);
INSERT INTO "entry_text_idx" VALUES(6,X'',2);
INSERT INTO sqlite_master(type,name,tbl_name,rootpage,sql)VALUES('table','entry_text_terms','entry_text_terms',0,'CREATE VIRTUAL TABLE entry_text_terms USING fts5vocab(entry_text, row)');
INSERT INTO "entry_text_terms" VALUES('1',1,1);
INSERT INTO "entry_text_terms" VALUES('2',1,1);
INSERT INTO "entry_text_terms" VALUES('and',3,3);
INSERT INTO "entry_text_terms" VALUES('baker',4,9);
INSERT INTO "entry_text_terms" VALUES('bakeri',1,1);
INSERT INTO "entry_text_terms" VALUES('crate',3,6);
INSERT INTO "entry_text_terms" VALUES('cu',1,2);
INSERT INTO "entry_text_terms" VALUES('for',1,1);
INSERT INTO "entry_text_terms" VALUES('per',4,4);
INSERT INTO "entry_text_terms" VALUES('stand',1,1);
INSERT INTO "entry_text_terms" VALUES('the',1,1);
INSERT INTO "entry_text_terms" VALUES('tmpvhy',4,4);
INSERT INTO "entry_text_terms" VALUES('van',1,1);
CREATE TABLE facets (
	id INTEGER NOT NULL, 
	entry_id INTEGER NOT NULL, 
	facet TEXT NOT NULL, 
	value TEXT NOT NULL, 
	source TEXT NOT NULL, 
	state TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_facets PRIMARY KEY (id), 
	CONSTRAINT ck_facets_source CHECK (source IN ('artist', 'file', 'file name', 'job', 'suggestion', 'model', 'picture')), 
	CONSTRAINT ck_facets_state CHECK (state IN ('given', 'suggested', 'taken', 'left')), 
	CONSTRAINT fk_facets_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id), 
	CONSTRAINT uq_facets_entry_id_facet_value UNIQUE (entry_id, facet, value)
);
INSERT INTO "facets" VALUES(1,1,'finish','clean line','picture','suggested','2026-11-25T13:39:30.874653Z');
INSERT INTO "facets" VALUES(2,1,'shot_size','CU','file name','suggested','2026-11-25T13:39:30.874755Z');
INSERT INTO "facets" VALUES(3,3,'finish','clean line','picture','suggested','2026-11-25T13:39:33.804996Z');
INSERT INTO "facets" VALUES(4,1,'pose','standing','artist','given','2026-11-25T13:39:35.574651Z');
CREATE TABLE fingerprints (
	version_id INTEGER NOT NULL, 
	recipe_id INTEGER NOT NULL, 
	data BLOB NOT NULL, 
	CONSTRAINT pk_fingerprints PRIMARY KEY (version_id, recipe_id), 
	CONSTRAINT fk_fingerprints_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipes (id), 
	CONSTRAINT fk_fingerprints_version_id FOREIGN KEY(version_id) REFERENCES versions (id) ON DELETE CASCADE
);
CREATE TABLE jobs (
	id INTEGER NOT NULL, 
	uuid TEXT NOT NULL, 
	name TEXT NOT NULL, 
	client TEXT, 
	first_day DATE, 
	last_day DATE, 
	frame_width INTEGER, 
	frame_height INTEGER, 
	agreement TEXT, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_jobs PRIMARY KEY (id), 
	CONSTRAINT fk_jobs_id FOREIGN KEY(id) REFERENCES codes (id), 
	CONSTRAINT uq_jobs_name UNIQUE (name), 
	CONSTRAINT uq_jobs_uuid UNIQUE (uuid)
);
INSERT INTO "jobs" VALUES(2,'5a0db07f-66d9-4abc-bef5-e6505ee12a73','Bakery van',NULL,NULL,NULL,NULL,NULL,NULL,'2026-11-25T13:39:30.899382Z');
CREATE TABLE labels (
	id INTEGER NOT NULL, 
	concept_id INTEGER NOT NULL, 
	text TEXT NOT NULL, 
	folded TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	language TEXT NOT NULL, 
	CONSTRAINT pk_labels PRIMARY KEY (id), 
	CONSTRAINT ck_labels_kind CHECK (kind IN ('preferred', 'other', 'hidden')), 
	CONSTRAINT fk_labels_concept_id FOREIGN KEY(concept_id) REFERENCES concepts (id), 
	CONSTRAINT uq_labels_concept_id_folded_language UNIQUE (concept_id, folded, language)
);
INSERT INTO "labels" VALUES(1,1,'vehicle','vehicle','preferred','en');
INSERT INTO "labels" VALUES(2,1,'vehicles','vehicles','other','en');
INSERT INTO "labels" VALUES(3,1,'transport','transport','other','en');
INSERT INTO "labels" VALUES(4,1,'vehical','vehical','hidden','en');
INSERT INTO "labels" VALUES(5,1,'vehicel','vehicel','hidden','en');
INSERT INTO "labels" VALUES(6,2,'car','car','preferred','en');
INSERT INTO "labels" VALUES(7,2,'automobile','automobile','other','en');
INSERT INTO "labels" VALUES(8,2,'saloon','saloon','other','en');
INSERT INTO "labels" VALUES(9,2,'sedan','sedan','other','en');
INSERT INTO "labels" VALUES(10,2,'motor car','motor car','other','en');
INSERT INTO "labels" VALUES(11,2,'carr','carr','hidden','en');
INSERT INTO "labels" VALUES(12,3,'van','van','preferred','en');
INSERT INTO "labels" VALUES(13,3,'delivery van','delivery van','other','en');
INSERT INTO "labels" VALUES(14,3,'panel van','panel van','other','en');
INSERT INTO "labels" VALUES(15,3,'transporter','transporter','other','en');
INSERT INTO "labels" VALUES(16,4,'delivery truck','delivery truck','preferred','en');
INSERT INTO "labels" VALUES(17,4,'lorry','lorry','other','en');
INSERT INTO "labels" VALUES(18,4,'truck','truck','other','en');
INSERT INTO "labels" VALUES(19,4,'box truck','box truck','other','en');
INSERT INTO "labels" VALUES(20,4,'lorrie','lorrie','hidden','en');
INSERT INTO "labels" VALUES(21,5,'bus','bus','preferred','en');
INSERT INTO "labels" VALUES(22,5,'coach','coach','other','en');
INSERT INTO "labels" VALUES(23,5,'minibus','minibus','other','en');
INSERT INTO "labels" VALUES(24,6,'taxi','taxi','preferred','en');
INSERT INTO "labels" VALUES(25,6,'cab','cab','other','en');
INSERT INTO "labels" VALUES(26,6,'taxicab','taxicab','other','en');
INSERT INTO "labels" VALUES(27,6,'taxy','taxy','hidden','en');
INSERT INTO "labels" VALUES(28,7,'tram','tram','preferred','en');
INSERT INTO "labels" VALUES(29,7,'streetcar','streetcar','other','en');
INSERT INTO "labels" VALUES(30,7,'trolley car','trolley car','other','en');
INSERT INTO "labels" VALUES(31,8,'train','train','preferred','en');
INSERT INTO "labels" VALUES(32,8,'railway train','railway train','other','en');
INSERT INTO "labels" VALUES(33,8,'rail carriage','rail carriage','other','en');
INSERT INTO "labels" VALUES(34,9,'bicycle','bicycle','preferred','en');
INSERT INTO "labels" VALUES(35,9,'bike','bike','other','en');
INSERT INTO "labels" VALUES(36,9,'push-bike','push bike','other','en');
INSERT INTO "labels" VALUES(37,9,'cycle','cycle','other','en');
INSERT INTO "labels" VALUES(38,9,'bycicle','bycicle','hidden','en');
INSERT INTO "labels" VALUES(39,9,'bicyle','bicyle','hidden','en');
INSERT INTO "labels" VALUES(40,10,'cargo bike','cargo bike','preferred','en');
INSERT INTO "labels" VALUES(41,10,'delivery bike','delivery bike','other','en');
INSERT INTO "labels" VALUES(42,10,'carrier bicycle','carrier bicycle','other','en');
INSERT INTO "labels" VALUES(43,11,'motorcycle','motorcycle','preferred','en');
INSERT INTO "labels" VALUES(44,11,'motorbike','motorbike','other','en');
INSERT INTO "labels" VALUES(45,11,'moped','moped','other','en');
INSERT INTO "labels" VALUES(46,11,'motorcyle','motorcyle','hidden','en');
INSERT INTO "labels" VALUES(47,12,'scooter','scooter','preferred','en');
INSERT INTO "labels" VALUES(48,12,'kick scooter','kick scooter','other','en');
INSERT INTO "labels" VALUES(49,12,'e-scooter','e scooter','other','en');
INSERT INTO "labels" VALUES(50,13,'ambulance','ambulance','preferred','en');
INSERT INTO "labels" VALUES(51,13,'ambulence','ambulence','hidden','en');
INSERT INTO "labels" VALUES(52,14,'police car','police car','preferred','en');
INSERT INTO "labels" VALUES(53,14,'patrol car','patrol car','other','en');
INSERT INTO "labels" VALUES(54,14,'squad car','squad car','other','en');
INSERT INTO "labels" VALUES(55,15,'tractor','tractor','preferred','en');
INSERT INTO "labels" VALUES(56,15,'farm tractor','farm tractor','other','en');
INSERT INTO "labels" VALUES(57,16,'wheelchair','wheelchair','preferred','en');
INSERT INTO "labels" VALUES(58,16,'weelchair','weelchair','hidden','en');
INSERT INTO "labels" VALUES(59,17,'pram','pram','preferred','en');
INSERT INTO "labels" VALUES(60,17,'pushchair','pushchair','other','en');
INSERT INTO "labels" VALUES(61,17,'stroller','stroller','other','en');
INSERT INTO "labels" VALUES(62,17,'baby carriage','baby carriage','other','en');
INSERT INTO "labels" VALUES(63,17,'buggy','buggy','other','en');
INSERT INTO "labels" VALUES(64,18,'vehicle interior','vehicle interior','preferred','en');
INSERT INTO "labels" VALUES(65,18,'car interior','car interior','other','en');
INSERT INTO "labels" VALUES(66,18,'van interior','van interior','other','en');
INSERT INTO "labels" VALUES(67,18,'cabin interior','cabin interior','other','en');
INSERT INTO "labels" VALUES(68,18,'inside of a car','inside of a car','other','en');
INSERT INTO "labels" VALUES(69,19,'dashboard','dashboard','preferred','en');
INSERT INTO "labels" VALUES(70,19,'dash','dash','other','en');
INSERT INTO "labels" VALUES(71,19,'instrument panel','instrument panel','other','en');
INSERT INTO "labels" VALUES(72,19,'fascia','fascia','other','en');
INSERT INTO "labels" VALUES(73,19,'dashbord','dashbord','hidden','en');
INSERT INTO "labels" VALUES(74,20,'steering wheel','steering wheel','preferred','en');
INSERT INTO "labels" VALUES(75,20,'wheel of a car','wheel of a car','other','en');
INSERT INTO "labels" VALUES(76,20,'stearing wheel','stearing wheel','hidden','en');
INSERT INTO "labels" VALUES(77,21,'gear stick','gear stick','preferred','en');
INSERT INTO "labels" VALUES(78,21,'gear lever','gear lever','other','en');
INSERT INTO "labels" VALUES(79,21,'gearshift','gearshift','other','en');
INSERT INTO "labels" VALUES(80,21,'shifter','shifter','other','en');
INSERT INTO "labels" VALUES(81,22,'windscreen','windscreen','preferred','en');
INSERT INTO "labels" VALUES(82,22,'windshield','windshield','other','en');
INSERT INTO "labels" VALUES(83,22,'windsheild','windsheild','hidden','en');
INSERT INTO "labels" VALUES(84,23,'rear-view mirror','rear view mirror','preferred','en');
INSERT INTO "labels" VALUES(85,23,'rear mirror','rear mirror','other','en');
INSERT INTO "labels" VALUES(86,23,'driving mirror','driving mirror','other','en');
INSERT INTO "labels" VALUES(87,23,'rearview miror','rearview miror','hidden','en');
INSERT INTO "labels" VALUES(88,24,'wing mirror','wing mirror','preferred','en');
INSERT INTO "labels" VALUES(89,24,'side mirror','side mirror','other','en');
INSERT INTO "labels" VALUES(90,24,'door mirror','door mirror','other','en');
INSERT INTO "labels" VALUES(91,25,'driver''s seat','drivers seat','preferred','en');
INSERT INTO "labels" VALUES(92,25,'driving seat','driving seat','other','en');
INSERT INTO "labels" VALUES(93,25,'drivers seet','drivers seet','hidden','en');
INSERT INTO "labels" VALUES(94,26,'front passenger seat','front passenger seat','preferred','en');
INSERT INTO "labels" VALUES(95,26,'passenger seat','passenger seat','other','en');
INSERT INTO "labels" VALUES(96,27,'back seat','back seat','preferred','en');
INSERT INTO "labels" VALUES(97,27,'rear seat','rear seat','other','en');
INSERT INTO "labels" VALUES(98,27,'backseat','backseat','other','en');
INSERT INTO "labels" VALUES(99,27,'rear bench','rear bench','other','en');
INSERT INTO "labels" VALUES(100,28,'child seat','child seat','preferred','en');
INSERT INTO "labels" VALUES(101,28,'car seat','car seat','other','en');
INSERT INTO "labels" VALUES(102,28,'booster seat','booster seat','other','en');
INSERT INTO "labels" VALUES(103,29,'seat belt','seat belt','preferred','en');
INSERT INTO "labels" VALUES(104,29,'safety belt','safety belt','other','en');
INSERT INTO "labels" VALUES(105,29,'seatbelt','seatbelt','hidden','en');
INSERT INTO "labels" VALUES(106,30,'sat nav','sat nav','preferred','en');
INSERT INTO "labels" VALUES(107,30,'navigation device','navigation device','other','en');
INSERT INTO "labels" VALUES(108,30,'navigator','navigator','other','en');
INSERT INTO "labels" VALUES(109,30,'satnav','satnav','hidden','en');
INSERT INTO "labels" VALUES(110,31,'glove compartment','glove compartment','preferred','en');
INSERT INTO "labels" VALUES(111,31,'glove box','glove box','other','en');
INSERT INTO "labels" VALUES(112,32,'vehicle part','vehicle part','preferred','en');
INSERT INTO "labels" VALUES(113,32,'car part','car part','other','en');
INSERT INTO "labels" VALUES(114,33,'hood','hood','preferred','en');
INSERT INTO "labels" VALUES(115,33,'bonnet','bonnet','other','en');
INSERT INTO "labels" VALUES(116,33,'engine cover','engine cover','other','en');
INSERT INTO "labels" VALUES(117,33,'bonet','bonet','hidden','en');
INSERT INTO "labels" VALUES(118,34,'headlight','headlight','preferred','en');
INSERT INTO "labels" VALUES(119,34,'headlamp','headlamp','other','en');
INSERT INTO "labels" VALUES(120,34,'front light','front light','other','en');
INSERT INTO "labels" VALUES(121,34,'headlite','headlite','hidden','en');
INSERT INTO "labels" VALUES(122,35,'tail light','tail light','preferred','en');
INSERT INTO "labels" VALUES(123,35,'rear light','rear light','other','en');
INSERT INTO "labels" VALUES(124,35,'brake light','brake light','other','en');
INSERT INTO "labels" VALUES(125,36,'wheel','wheel','preferred','en');
INSERT INTO "labels" VALUES(126,36,'tyre','tyre','other','en');
INSERT INTO "labels" VALUES(127,36,'tire','tire','other','en');
INSERT INTO "labels" VALUES(128,36,'rim','rim','other','en');
INSERT INTO "labels" VALUES(129,37,'number plate','number plate','preferred','en');
INSERT INTO "labels" VALUES(130,37,'licence plate','licence plate','other','en');
INSERT INTO "labels" VALUES(131,37,'license plate','license plate','other','en');
INSERT INTO "labels" VALUES(132,37,'registration plate','registration plate','other','en');
INSERT INTO "labels" VALUES(133,38,'car door','car door','preferred','en');
INSERT INTO "labels" VALUES(134,38,'vehicle door','vehicle door','other','en');
INSERT INTO "labels" VALUES(135,38,'sliding door','sliding door','other','en');
INSERT INTO "labels" VALUES(136,39,'boot','boot','preferred','en');
INSERT INTO "labels" VALUES(137,39,'car trunk','car trunk','other','en');
INSERT INTO "labels" VALUES(138,39,'tailgate','tailgate','other','en');
INSERT INTO "labels" VALUES(139,39,'loading door','loading door','other','en');
INSERT INTO "labels" VALUES(140,40,'car key','car key','preferred','en');
INSERT INTO "labels" VALUES(141,40,'ignition key','ignition key','other','en');
INSERT INTO "labels" VALUES(142,40,'key fob','key fob','other','en');
INSERT INTO "labels" VALUES(143,41,'hood mount view','hood mount view','preferred','en');
INSERT INTO "labels" VALUES(144,41,'bonnet mount view','bonnet mount view','other','en');
INSERT INTO "labels" VALUES(145,41,'view through the windscreen','view through the windscreen','other','en');
INSERT INTO "labels" VALUES(146,42,'hand','hand','preferred','en');
INSERT INTO "labels" VALUES(147,42,'hands','hands','other','en');
INSERT INTO "labels" VALUES(148,42,'palm of the hand','palm of the hand','other','en');
INSERT INTO "labels" VALUES(149,42,'hnad','hnad','hidden','en');
INSERT INTO "labels" VALUES(150,43,'fist','fist','preferred','en');
INSERT INTO "labels" VALUES(151,43,'clenched hand','clenched hand','other','en');
INSERT INTO "labels" VALUES(152,44,'pointing hand','pointing hand','preferred','en');
INSERT INTO "labels" VALUES(153,44,'index finger','index finger','other','en');
INSERT INTO "labels" VALUES(154,44,'pointing finger','pointing finger','other','en');
INSERT INTO "labels" VALUES(155,45,'handshake','handshake','preferred','en');
INSERT INTO "labels" VALUES(156,45,'shaking hands','shaking hands','other','en');
INSERT INTO "labels" VALUES(157,45,'hand clasp','hand clasp','other','en');
INSERT INTO "labels" VALUES(158,45,'hand shake','hand shake','hidden','en');
INSERT INTO "labels" VALUES(159,46,'waving hand','waving hand','preferred','en');
INSERT INTO "labels" VALUES(160,46,'wave of the hand','wave of the hand','other','en');
INSERT INTO "labels" VALUES(161,46,'waving','waving','other','en');
INSERT INTO "labels" VALUES(162,47,'thumbs up','thumbs up','preferred','en');
INSERT INTO "labels" VALUES(163,47,'thumb up','thumb up','other','en');
INSERT INTO "labels" VALUES(164,47,'raised thumb','raised thumb','other','en');
INSERT INTO "labels" VALUES(165,48,'hand holding phone','hand holding phone','preferred','en');
INSERT INTO "labels" VALUES(166,48,'hand with phone','hand with phone','other','en');
INSERT INTO "labels" VALUES(167,48,'phone in hand','phone in hand','other','en');
INSERT INTO "labels" VALUES(168,49,'hand holding tablet','hand holding tablet','preferred','en');
INSERT INTO "labels" VALUES(169,49,'hand with tablet','hand with tablet','other','en');
INSERT INTO "labels" VALUES(170,50,'hand holding cup','hand holding cup','preferred','en');
INSERT INTO "labels" VALUES(171,50,'hand with cup','hand with cup','other','en');
INSERT INTO "labels" VALUES(172,50,'hand with mug','hand with mug','other','en');
INSERT INTO "labels" VALUES(173,51,'hand holding pen','hand holding pen','preferred','en');
INSERT INTO "labels" VALUES(174,51,'writing hand','writing hand','other','en');
INSERT INTO "labels" VALUES(175,51,'hand with pencil','hand with pencil','other','en');
INSERT INTO "labels" VALUES(176,52,'hands on steering wheel','hands on steering wheel','preferred','en');
INSERT INTO "labels" VALUES(177,52,'hands on wheel','hands on wheel','other','en');
INSERT INTO "labels" VALUES(178,53,'hands kneading dough','hands kneading dough','preferred','en');
INSERT INTO "labels" VALUES(179,53,'kneading hands','kneading hands','other','en');
INSERT INTO "labels" VALUES(180,53,'kneading','kneading','other','en');
INSERT INTO "labels" VALUES(181,54,'typing hands','typing hands','preferred','en');
INSERT INTO "labels" VALUES(182,54,'hands on keyboard','hands on keyboard','other','en');
INSERT INTO "labels" VALUES(183,54,'typing','typing','other','en');
INSERT INTO "labels" VALUES(184,55,'tapping finger','tapping finger','preferred','en');
INSERT INTO "labels" VALUES(185,55,'swipe','swipe','other','en');
INSERT INTO "labels" VALUES(186,55,'swiping finger','swiping finger','other','en');
INSERT INTO "labels" VALUES(187,55,'finger on screen','finger on screen','other','en');
INSERT INTO "labels" VALUES(188,55,'touch','touch','other','en');
INSERT INTO "labels" VALUES(189,56,'device','device','preferred','en');
INSERT INTO "labels" VALUES(190,56,'gadget','gadget','other','en');
INSERT INTO "labels" VALUES(191,56,'electronic device','electronic device','other','en');
INSERT INTO "labels" VALUES(192,56,'devise','devise','hidden','en');
INSERT INTO "labels" VALUES(193,57,'phone','phone','preferred','en');
INSERT INTO "labels" VALUES(194,57,'cell phone','cell phone','other','en');
INSERT INTO "labels" VALUES(195,57,'mobile','mobile','other','en');
INSERT INTO "labels" VALUES(196,57,'mobile phone','mobile phone','other','en');
INSERT INTO "labels" VALUES(197,57,'smartphone','smartphone','other','en');
INSERT INTO "labels" VALUES(198,57,'handset','handset','other','en');
INSERT INTO "labels" VALUES(199,57,'cellphone','cellphone','other','en');
INSERT INTO "labels" VALUES(200,57,'telephone','telephone','other','en');
INSERT INTO "labels" VALUES(201,57,'fone','fone','hidden','en');
INSERT INTO "labels" VALUES(202,57,'smart fone','smart fone','hidden','en');
INSERT INTO "labels" VALUES(203,57,'smartfone','smartfone','hidden','en');
INSERT INTO "labels" VALUES(204,58,'landline phone','landline phone','preferred','en');
INSERT INTO "labels" VALUES(205,58,'desk phone','desk phone','other','en');
INSERT INTO "labels" VALUES(206,58,'telephone receiver','telephone receiver','other','en');
INSERT INTO "labels" VALUES(207,59,'tablet','tablet','preferred','en');
INSERT INTO "labels" VALUES(208,59,'tablet computer','tablet computer','other','en');
INSERT INTO "labels" VALUES(209,59,'touchscreen tablet','touchscreen tablet','other','en');
INSERT INTO "labels" VALUES(210,59,'pad computer','pad computer','other','en');
INSERT INTO "labels" VALUES(211,59,'tablett','tablett','hidden','en');
INSERT INTO "labels" VALUES(212,60,'laptop','laptop','preferred','en');
INSERT INTO "labels" VALUES(213,60,'notebook computer','notebook computer','other','en');
INSERT INTO "labels" VALUES(214,60,'portable computer','portable computer','other','en');
INSERT INTO "labels" VALUES(215,60,'labtop','labtop','hidden','en');
INSERT INTO "labels" VALUES(216,61,'desktop computer','desktop computer','preferred','en');
INSERT INTO "labels" VALUES(217,61,'computer','computer','other','en');
INSERT INTO "labels" VALUES(218,61,'workstation','workstation','other','en');
INSERT INTO "labels" VALUES(219,61,'computor','computor','hidden','en');
INSERT INTO "labels" VALUES(220,62,'computer mouse','computer mouse','preferred','en');
INSERT INTO "labels" VALUES(221,63,'keyboard','keyboard','preferred','en');
INSERT INTO "labels" VALUES(222,63,'computer keyboard','computer keyboard','other','en');
INSERT INTO "labels" VALUES(223,63,'keybord','keybord','hidden','en');
INSERT INTO "labels" VALUES(224,64,'screen','screen','preferred','en');
INSERT INTO "labels" VALUES(225,64,'monitor','monitor','other','en');
INSERT INTO "labels" VALUES(226,64,'display','display','other','en');
INSERT INTO "labels" VALUES(227,64,'computer screen','computer screen','other','en');
INSERT INTO "labels" VALUES(228,64,'moniter','moniter','hidden','en');
INSERT INTO "labels" VALUES(229,65,'television','television','preferred','en');
INSERT INTO "labels" VALUES(230,65,'TV','tv','other','en');
INSERT INTO "labels" VALUES(231,65,'TV set','tv set','other','en');
INSERT INTO "labels" VALUES(232,65,'telly','telly','other','en');
INSERT INTO "labels" VALUES(233,65,'televison','televison','hidden','en');
INSERT INTO "labels" VALUES(234,66,'headphones','headphones','preferred','en');
INSERT INTO "labels" VALUES(235,66,'earphones','earphones','other','en');
INSERT INTO "labels" VALUES(236,66,'earbuds','earbuds','other','en');
INSERT INTO "labels" VALUES(237,66,'headset','headset','other','en');
INSERT INTO "labels" VALUES(238,66,'hedphones','hedphones','hidden','en');
INSERT INTO "labels" VALUES(239,67,'camera','camera','preferred','en');
INSERT INTO "labels" VALUES(240,67,'film camera','film camera','other','en');
INSERT INTO "labels" VALUES(241,67,'photo camera','photo camera','other','en');
INSERT INTO "labels" VALUES(242,67,'camara','camara','hidden','en');
INSERT INTO "labels" VALUES(243,68,'smartwatch','smartwatch','preferred','en');
INSERT INTO "labels" VALUES(244,68,'smart watch','smart watch','other','en');
INSERT INTO "labels" VALUES(245,69,'remote control','remote control','preferred','en');
INSERT INTO "labels" VALUES(246,69,'remote','remote','other','en');
INSERT INTO "labels" VALUES(247,69,'clicker','clicker','other','en');
INSERT INTO "labels" VALUES(248,70,'card reader','card reader','preferred','en');
INSERT INTO "labels" VALUES(249,70,'card terminal','card terminal','other','en');
INSERT INTO "labels" VALUES(250,70,'payment terminal','payment terminal','other','en');
INSERT INTO "labels" VALUES(251,70,'chip reader','chip reader','other','en');
INSERT INTO "labels" VALUES(252,71,'ticket machine','ticket machine','preferred','en');
INSERT INTO "labels" VALUES(253,71,'ticket dispenser','ticket dispenser','other','en');
INSERT INTO "labels" VALUES(254,72,'loudspeaker','loudspeaker','preferred','en');
INSERT INTO "labels" VALUES(255,72,'speaker','speaker','other','en');
INSERT INTO "labels" VALUES(256,72,'megaphone','megaphone','other','en');
INSERT INTO "labels" VALUES(257,72,'loud speaker','loud speaker','hidden','en');
INSERT INTO "labels" VALUES(258,73,'radio','radio','preferred','en');
INSERT INTO "labels" VALUES(259,73,'wireless set','wireless set','other','en');
INSERT INTO "labels" VALUES(260,74,'microphone','microphone','preferred','en');
INSERT INTO "labels" VALUES(261,74,'mic','mic','other','en');
INSERT INTO "labels" VALUES(262,74,'mike','mike','other','en');
INSERT INTO "labels" VALUES(263,74,'micraphone','micraphone','hidden','en');
INSERT INTO "labels" VALUES(264,75,'torch','torch','preferred','en');
INSERT INTO "labels" VALUES(265,75,'flashlight','flashlight','other','en');
INSERT INTO "labels" VALUES(266,75,'pocket lamp','pocket lamp','other','en');
INSERT INTO "labels" VALUES(267,76,'person','person','preferred','en');
INSERT INTO "labels" VALUES(268,76,'people','people','other','en');
INSERT INTO "labels" VALUES(269,76,'human','human','other','en');
INSERT INTO "labels" VALUES(270,76,'human being','human being','other','en');
INSERT INTO "labels" VALUES(271,76,'figure','figure','other','en');
INSERT INTO "labels" VALUES(272,76,'persone','persone','hidden','en');
INSERT INTO "labels" VALUES(273,77,'man','man','preferred','en');
INSERT INTO "labels" VALUES(274,77,'men','men','other','en');
INSERT INTO "labels" VALUES(275,77,'gentleman','gentleman','other','en');
INSERT INTO "labels" VALUES(276,77,'guy','guy','other','en');
INSERT INTO "labels" VALUES(277,77,'male figure','male figure','other','en');
INSERT INTO "labels" VALUES(278,78,'woman','woman','preferred','en');
INSERT INTO "labels" VALUES(279,78,'women','women','other','en');
INSERT INTO "labels" VALUES(280,78,'lady','lady','other','en');
INSERT INTO "labels" VALUES(281,78,'female figure','female figure','other','en');
INSERT INTO "labels" VALUES(282,78,'woamn','woamn','hidden','en');
INSERT INTO "labels" VALUES(283,78,'womna','womna','hidden','en');
INSERT INTO "labels" VALUES(284,79,'child','child','preferred','en');
INSERT INTO "labels" VALUES(285,79,'children','children','other','en');
INSERT INTO "labels" VALUES(286,79,'kid','kid','other','en');
INSERT INTO "labels" VALUES(287,79,'kids','kids','other','en');
INSERT INTO "labels" VALUES(288,79,'youngster','youngster','other','en');
INSERT INTO "labels" VALUES(289,79,'childern','childern','hidden','en');
INSERT INTO "labels" VALUES(290,79,'chlid','chlid','hidden','en');
INSERT INTO "labels" VALUES(291,80,'boy','boy','preferred','en');
INSERT INTO "labels" VALUES(292,80,'boys','boys','other','en');
INSERT INTO "labels" VALUES(293,80,'lad','lad','other','en');
INSERT INTO "labels" VALUES(294,81,'girl','girl','preferred','en');
INSERT INTO "labels" VALUES(295,81,'girls','girls','other','en');
INSERT INTO "labels" VALUES(296,81,'lass','lass','other','en');
INSERT INTO "labels" VALUES(297,82,'toddler','toddler','preferred','en');
INSERT INTO "labels" VALUES(298,82,'small child','small child','other','en');
INSERT INTO "labels" VALUES(299,82,'tot','tot','other','en');
INSERT INTO "labels" VALUES(300,82,'todler','todler','hidden','en');
INSERT INTO "labels" VALUES(301,83,'baby','baby','preferred','en');
INSERT INTO "labels" VALUES(302,83,'babies','babies','other','en');
INSERT INTO "labels" VALUES(303,83,'infant','infant','other','en');
INSERT INTO "labels" VALUES(304,83,'newborn','newborn','other','en');
INSERT INTO "labels" VALUES(305,83,'babby','babby','hidden','en');
INSERT INTO "labels" VALUES(306,84,'teenager','teenager','preferred','en');
INSERT INTO "labels" VALUES(307,84,'teen','teen','other','en');
INSERT INTO "labels" VALUES(308,84,'teens','teens','other','en');
INSERT INTO "labels" VALUES(309,84,'adolescent','adolescent','other','en');
INSERT INTO "labels" VALUES(310,84,'youth','youth','other','en');
INSERT INTO "labels" VALUES(311,84,'teenanger','teenanger','hidden','en');
INSERT INTO "labels" VALUES(312,85,'elderly person','elderly person','preferred','en');
INSERT INTO "labels" VALUES(313,85,'old person','old person','other','en');
INSERT INTO "labels" VALUES(314,85,'senior','senior','other','en');
INSERT INTO "labels" VALUES(315,85,'pensioner','pensioner','other','en');
INSERT INTO "labels" VALUES(316,85,'old man','old man','other','en');
INSERT INTO "labels" VALUES(317,85,'old woman','old woman','other','en');
INSERT INTO "labels" VALUES(318,85,'the elderly','the elderly','other','en');
INSERT INTO "labels" VALUES(319,85,'eldery','eldery','hidden','en');
INSERT INTO "labels" VALUES(320,86,'grandmother','grandmother','preferred','en');
INSERT INTO "labels" VALUES(321,86,'grandma','grandma','other','en');
INSERT INTO "labels" VALUES(322,86,'granny','granny','other','en');
INSERT INTO "labels" VALUES(323,86,'gran','gran','other','en');
INSERT INTO "labels" VALUES(324,86,'granmother','granmother','hidden','en');
INSERT INTO "labels" VALUES(325,87,'grandfather','grandfather','preferred','en');
INSERT INTO "labels" VALUES(326,87,'grandpa','grandpa','other','en');
INSERT INTO "labels" VALUES(327,87,'grandad','grandad','other','en');
INSERT INTO "labels" VALUES(328,87,'granfather','granfather','hidden','en');
INSERT INTO "labels" VALUES(329,88,'couple','couple','preferred','en');
INSERT INTO "labels" VALUES(330,88,'pair of people','pair of people','other','en');
INSERT INTO "labels" VALUES(331,88,'lovers','lovers','other','en');
INSERT INTO "labels" VALUES(332,88,'man and woman','man and woman','other','en');
INSERT INTO "labels" VALUES(333,89,'family','family','preferred','en');
INSERT INTO "labels" VALUES(334,89,'parents and children','parents and children','other','en');
INSERT INTO "labels" VALUES(335,89,'household','household','other','en');
INSERT INTO "labels" VALUES(336,89,'familly','familly','hidden','en');
INSERT INTO "labels" VALUES(337,90,'mother','mother','preferred','en');
INSERT INTO "labels" VALUES(338,90,'mum','mum','other','en');
INSERT INTO "labels" VALUES(339,90,'mom','mom','other','en');
INSERT INTO "labels" VALUES(340,90,'mummy','mummy','other','en');
INSERT INTO "labels" VALUES(341,91,'father','father','preferred','en');
INSERT INTO "labels" VALUES(342,91,'dad','dad','other','en');
INSERT INTO "labels" VALUES(343,91,'daddy','daddy','other','en');
INSERT INTO "labels" VALUES(344,92,'crowd','crowd','preferred','en');
INSERT INTO "labels" VALUES(345,92,'crowds','crowds','other','en');
INSERT INTO "labels" VALUES(346,92,'throng','throng','other','en');
INSERT INTO "labels" VALUES(347,92,'mass of people','mass of people','other','en');
INSERT INTO "labels" VALUES(348,92,'croud','croud','hidden','en');
INSERT INTO "labels" VALUES(349,93,'queue','queue','preferred','en');
INSERT INTO "labels" VALUES(350,93,'line of people','line of people','other','en');
INSERT INTO "labels" VALUES(351,93,'waiting line','waiting line','other','en');
INSERT INTO "labels" VALUES(352,93,'people in line','people in line','other','en');
INSERT INTO "labels" VALUES(353,93,'que','que','hidden','en');
INSERT INTO "labels" VALUES(354,93,'queu','queu','hidden','en');
INSERT INTO "labels" VALUES(355,94,'group of people','group of people','preferred','en');
INSERT INTO "labels" VALUES(356,94,'group','group','other','en');
INSERT INTO "labels" VALUES(357,94,'gathering','gathering','other','en');
INSERT INTO "labels" VALUES(358,95,'audience','audience','preferred','en');
INSERT INTO "labels" VALUES(359,95,'spectators','spectators','other','en');
INSERT INTO "labels" VALUES(360,95,'onlookers','onlookers','other','en');
INSERT INTO "labels" VALUES(361,95,'audiance','audiance','hidden','en');
INSERT INTO "labels" VALUES(362,96,'passer-by','passer by','preferred','en');
INSERT INTO "labels" VALUES(363,96,'pedestrian','pedestrian','other','en');
INSERT INTO "labels" VALUES(364,96,'bystander','bystander','other','en');
INSERT INTO "labels" VALUES(365,96,'people passing','people passing','other','en');
INSERT INTO "labels" VALUES(366,96,'passerby','passerby','hidden','en');
INSERT INTO "labels" VALUES(367,97,'commuter','commuter','preferred','en');
INSERT INTO "labels" VALUES(368,97,'commuters','commuters','other','en');
INSERT INTO "labels" VALUES(369,97,'traveller to work','traveller to work','other','en');
INSERT INTO "labels" VALUES(370,97,'comuter','comuter','hidden','en');
INSERT INTO "labels" VALUES(371,97,'commutor','commutor','hidden','en');
INSERT INTO "labels" VALUES(372,98,'passenger','passenger','preferred','en');
INSERT INTO "labels" VALUES(373,98,'passengers','passengers','other','en');
INSERT INTO "labels" VALUES(374,98,'traveller','traveller','other','en');
INSERT INTO "labels" VALUES(375,98,'traveler','traveler','other','en');
INSERT INTO "labels" VALUES(376,98,'pasenger','pasenger','hidden','en');
INSERT INTO "labels" VALUES(377,99,'driver','driver','preferred','en');
INSERT INTO "labels" VALUES(378,99,'drivers','drivers','other','en');
INSERT INTO "labels" VALUES(379,99,'motorist','motorist','other','en');
INSERT INTO "labels" VALUES(380,99,'chauffeur','chauffeur','other','en');
INSERT INTO "labels" VALUES(381,100,'cyclist','cyclist','preferred','en');
INSERT INTO "labels" VALUES(382,100,'cyclists','cyclists','other','en');
INSERT INTO "labels" VALUES(383,100,'bike rider','bike rider','other','en');
INSERT INTO "labels" VALUES(384,100,'ciclist','ciclist','hidden','en');
INSERT INTO "labels" VALUES(385,101,'baker','baker','preferred','en');
INSERT INTO "labels" VALUES(386,101,'bakers','bakers','other','en');
INSERT INTO "labels" VALUES(387,101,'pastry chef','pastry chef','other','en');
INSERT INTO "labels" VALUES(388,101,'bakker','bakker','hidden','en');
INSERT INTO "labels" VALUES(389,102,'cook','cook','preferred','en');
INSERT INTO "labels" VALUES(390,102,'chef','chef','other','en');
INSERT INTO "labels" VALUES(391,102,'kitchen hand','kitchen hand','other','en');
INSERT INTO "labels" VALUES(392,103,'waiter','waiter','preferred','en');
INSERT INTO "labels" VALUES(393,103,'waitress','waitress','other','en');
INSERT INTO "labels" VALUES(394,103,'server','server','other','en');
INSERT INTO "labels" VALUES(395,103,'waiting staff','waiting staff','other','en');
INSERT INTO "labels" VALUES(396,103,'waitor','waitor','hidden','en');
INSERT INTO "labels" VALUES(397,104,'barista','barista','preferred','en');
INSERT INTO "labels" VALUES(398,104,'coffee maker','coffee maker','other','en');
INSERT INTO "labels" VALUES(399,104,'cafe worker','cafe worker','other','en');
INSERT INTO "labels" VALUES(400,105,'shopkeeper','shopkeeper','preferred','en');
INSERT INTO "labels" VALUES(401,105,'shop assistant','shop assistant','other','en');
INSERT INTO "labels" VALUES(402,105,'sales assistant','sales assistant','other','en');
INSERT INTO "labels" VALUES(403,105,'seller','seller','other','en');
INSERT INTO "labels" VALUES(404,105,'vendor','vendor','other','en');
INSERT INTO "labels" VALUES(405,106,'cashier','cashier','preferred','en');
INSERT INTO "labels" VALUES(406,106,'checkout assistant','checkout assistant','other','en');
INSERT INTO "labels" VALUES(407,106,'till operator','till operator','other','en');
INSERT INTO "labels" VALUES(408,106,'casheer','casheer','hidden','en');
INSERT INTO "labels" VALUES(409,107,'courier','courier','preferred','en');
INSERT INTO "labels" VALUES(410,107,'delivery driver','delivery driver','other','en');
INSERT INTO "labels" VALUES(411,107,'delivery man','delivery man','other','en');
INSERT INTO "labels" VALUES(412,107,'messenger','messenger','other','en');
INSERT INTO "labels" VALUES(413,107,'currier','currier','hidden','en');
INSERT INTO "labels" VALUES(414,108,'skipper','skipper','preferred','en');
INSERT INTO "labels" VALUES(415,108,'captain','captain','other','en');
INSERT INTO "labels" VALUES(416,108,'ship''s captain','ships captain','other','en');
INSERT INTO "labels" VALUES(417,108,'helmsman','helmsman','other','en');
INSERT INTO "labels" VALUES(418,109,'deckhand','deckhand','preferred','en');
INSERT INTO "labels" VALUES(419,109,'sailor','sailor','other','en');
INSERT INTO "labels" VALUES(420,109,'crew member','crew member','other','en');
INSERT INTO "labels" VALUES(421,109,'seaman','seaman','other','en');
INSERT INTO "labels" VALUES(422,109,'ferry crew','ferry crew','other','en');
INSERT INTO "labels" VALUES(423,110,'ticket inspector','ticket inspector','preferred','en');
INSERT INTO "labels" VALUES(424,110,'conductor','conductor','other','en');
INSERT INTO "labels" VALUES(425,110,'ticket collector','ticket collector','other','en');
INSERT INTO "labels" VALUES(426,111,'fisherman','fisherman','preferred','en');
INSERT INTO "labels" VALUES(427,111,'fisher','fisher','other','en');
INSERT INTO "labels" VALUES(428,111,'angler','angler','other','en');
INSERT INTO "labels" VALUES(429,111,'fisherwoman','fisherwoman','other','en');
INSERT INTO "labels" VALUES(430,112,'worker','worker','preferred','en');
INSERT INTO "labels" VALUES(431,112,'tradesperson','tradesperson','other','en');
INSERT INTO "labels" VALUES(432,112,'staff','staff','other','en');
INSERT INTO "labels" VALUES(433,112,'employee','employee','other','en');
INSERT INTO "labels" VALUES(434,112,'werker','werker','hidden','en');
INSERT INTO "labels" VALUES(435,113,'builder','builder','preferred','en');
INSERT INTO "labels" VALUES(436,113,'construction worker','construction worker','other','en');
INSERT INTO "labels" VALUES(437,113,'workman','workman','other','en');
INSERT INTO "labels" VALUES(438,114,'office worker','office worker','preferred','en');
INSERT INTO "labels" VALUES(439,114,'businessman','businessman','other','en');
INSERT INTO "labels" VALUES(440,114,'businesswoman','businesswoman','other','en');
INSERT INTO "labels" VALUES(441,114,'business person','business person','other','en');
INSERT INTO "labels" VALUES(442,114,'clerk','clerk','other','en');
INSERT INTO "labels" VALUES(443,115,'police officer','police officer','preferred','en');
INSERT INTO "labels" VALUES(444,115,'policeman','policeman','other','en');
INSERT INTO "labels" VALUES(445,115,'policewoman','policewoman','other','en');
INSERT INTO "labels" VALUES(446,115,'cop','cop','other','en');
INSERT INTO "labels" VALUES(447,116,'nurse','nurse','preferred','en');
INSERT INTO "labels" VALUES(448,116,'medic','medic','other','en');
INSERT INTO "labels" VALUES(449,116,'carer','carer','other','en');
INSERT INTO "labels" VALUES(450,117,'doctor','doctor','preferred','en');
INSERT INTO "labels" VALUES(451,117,'physician','physician','other','en');
INSERT INTO "labels" VALUES(452,117,'GP','gp','other','en');
INSERT INTO "labels" VALUES(453,117,'docter','docter','hidden','en');
INSERT INTO "labels" VALUES(454,118,'teacher','teacher','preferred','en');
INSERT INTO "labels" VALUES(455,118,'schoolteacher','schoolteacher','other','en');
INSERT INTO "labels" VALUES(456,119,'farmer','farmer','preferred','en');
INSERT INTO "labels" VALUES(457,119,'grower','grower','other','en');
INSERT INTO "labels" VALUES(458,120,'musician','musician','preferred','en');
INSERT INTO "labels" VALUES(459,120,'busker','busker','other','en');
INSERT INTO "labels" VALUES(460,120,'street musician','street musician','other','en');
INSERT INTO "labels" VALUES(461,120,'player of music','player of music','other','en');
INSERT INTO "labels" VALUES(462,121,'runner','runner','preferred','en');
INSERT INTO "labels" VALUES(463,121,'jogger','jogger','other','en');
INSERT INTO "labels" VALUES(464,121,'sprinter','sprinter','other','en');
INSERT INTO "labels" VALUES(465,122,'face','face','preferred','en');
INSERT INTO "labels" VALUES(466,122,'facial expression','facial expression','other','en');
INSERT INTO "labels" VALUES(467,122,'features','features','other','en');
INSERT INTO "labels" VALUES(468,123,'eye','eye','preferred','en');
INSERT INTO "labels" VALUES(469,123,'eyes','eyes','other','en');
INSERT INTO "labels" VALUES(470,124,'smile','smile','preferred','en');
INSERT INTO "labels" VALUES(471,124,'grin','grin','other','en');
INSERT INTO "labels" VALUES(472,124,'smiling face','smiling face','other','en');
INSERT INTO "labels" VALUES(473,124,'laughing','laughing','other','en');
INSERT INTO "labels" VALUES(474,125,'silhouette','silhouette','preferred','en');
INSERT INTO "labels" VALUES(475,125,'outline figure','outline figure','other','en');
INSERT INTO "labels" VALUES(476,125,'shadow figure','shadow figure','other','en');
INSERT INTO "labels" VALUES(477,125,'silouette','silouette','hidden','en');
INSERT INTO "labels" VALUES(478,125,'silhouete','silhouete','hidden','en');
INSERT INTO "labels" VALUES(479,126,'hair','hair','preferred','en');
INSERT INTO "labels" VALUES(480,126,'haircut','haircut','other','en');
INSERT INTO "labels" VALUES(481,126,'hairstyle','hairstyle','other','en');
INSERT INTO "labels" VALUES(482,127,'foot','foot','preferred','en');
INSERT INTO "labels" VALUES(483,127,'feet','feet','other','en');
INSERT INTO "labels" VALUES(484,128,'clothing','clothing','preferred','en');
INSERT INTO "labels" VALUES(485,128,'clothes','clothes','other','en');
INSERT INTO "labels" VALUES(486,128,'garment','garment','other','en');
INSERT INTO "labels" VALUES(487,128,'outfit','outfit','other','en');
INSERT INTO "labels" VALUES(488,128,'cloths','cloths','hidden','en');
INSERT INTO "labels" VALUES(489,129,'coat','coat','preferred','en');
INSERT INTO "labels" VALUES(490,129,'overcoat','overcoat','other','en');
INSERT INTO "labels" VALUES(491,129,'jacket','jacket','other','en');
INSERT INTO "labels" VALUES(492,129,'raincoat','raincoat','other','en');
INSERT INTO "labels" VALUES(493,129,'anorak','anorak','other','en');
INSERT INTO "labels" VALUES(494,130,'apron','apron','preferred','en');
INSERT INTO "labels" VALUES(495,130,'pinafore','pinafore','other','en');
INSERT INTO "labels" VALUES(496,130,'appron','appron','hidden','en');
INSERT INTO "labels" VALUES(497,131,'hat','hat','preferred','en');
INSERT INTO "labels" VALUES(498,131,'cap','cap','other','en');
INSERT INTO "labels" VALUES(499,131,'woolly hat','woolly hat','other','en');
INSERT INTO "labels" VALUES(500,131,'bobble hat','bobble hat','other','en');
INSERT INTO "labels" VALUES(501,132,'scarf','scarf','preferred','en');
INSERT INTO "labels" VALUES(502,132,'muffler','muffler','other','en');
INSERT INTO "labels" VALUES(503,132,'neck scarf','neck scarf','other','en');
INSERT INTO "labels" VALUES(504,133,'glove','glove','preferred','en');
INSERT INTO "labels" VALUES(505,133,'gloves','gloves','other','en');
INSERT INTO "labels" VALUES(506,133,'mitten','mitten','other','en');
INSERT INTO "labels" VALUES(507,133,'mittens','mittens','other','en');
INSERT INTO "labels" VALUES(508,134,'shoe','shoe','preferred','en');
INSERT INTO "labels" VALUES(509,134,'shoes','shoes','other','en');
INSERT INTO "labels" VALUES(510,134,'boots','boots','other','en');
INSERT INTO "labels" VALUES(511,134,'trainers','trainers','other','en');
INSERT INTO "labels" VALUES(512,134,'sneakers','sneakers','other','en');
INSERT INTO "labels" VALUES(513,134,'shoos','shoos','hidden','en');
INSERT INTO "labels" VALUES(514,135,'dress','dress','preferred','en');
INSERT INTO "labels" VALUES(515,135,'frock','frock','other','en');
INSERT INTO "labels" VALUES(516,135,'gown','gown','other','en');
INSERT INTO "labels" VALUES(517,136,'shirt','shirt','preferred','en');
INSERT INTO "labels" VALUES(518,136,'blouse','blouse','other','en');
INSERT INTO "labels" VALUES(519,136,'T-shirt','t shirt','other','en');
INSERT INTO "labels" VALUES(520,137,'trousers','trousers','preferred','en');
INSERT INTO "labels" VALUES(521,137,'pants','pants','other','en');
INSERT INTO "labels" VALUES(522,137,'jeans','jeans','other','en');
INSERT INTO "labels" VALUES(523,138,'glasses','glasses','preferred','en');
INSERT INTO "labels" VALUES(524,138,'spectacles','spectacles','other','en');
INSERT INTO "labels" VALUES(525,138,'eyeglasses','eyeglasses','other','en');
INSERT INTO "labels" VALUES(526,138,'specticles','specticles','hidden','en');
INSERT INTO "labels" VALUES(527,139,'high-vis vest','high vis vest','preferred','en');
INSERT INTO "labels" VALUES(528,139,'safety vest','safety vest','other','en');
INSERT INTO "labels" VALUES(529,139,'reflective vest','reflective vest','other','en');
INSERT INTO "labels" VALUES(530,139,'hi viz','hi viz','hidden','en');
INSERT INTO "labels" VALUES(531,140,'life jacket','life jacket','preferred','en');
INSERT INTO "labels" VALUES(532,140,'life vest','life vest','other','en');
INSERT INTO "labels" VALUES(533,140,'buoyancy vest','buoyancy vest','other','en');
INSERT INTO "labels" VALUES(534,141,'bag','bag','preferred','en');
INSERT INTO "labels" VALUES(535,141,'handbag','handbag','other','en');
INSERT INTO "labels" VALUES(536,141,'shoulder bag','shoulder bag','other','en');
INSERT INTO "labels" VALUES(537,142,'backpack','backpack','preferred','en');
INSERT INTO "labels" VALUES(538,142,'rucksack','rucksack','other','en');
INSERT INTO "labels" VALUES(539,142,'knapsack','knapsack','other','en');
INSERT INTO "labels" VALUES(540,142,'school bag','school bag','other','en');
INSERT INTO "labels" VALUES(541,142,'ruck sack','ruck sack','hidden','en');
INSERT INTO "labels" VALUES(542,143,'suitcase','suitcase','preferred','en');
INSERT INTO "labels" VALUES(543,143,'luggage','luggage','other','en');
INSERT INTO "labels" VALUES(544,143,'travel case','travel case','other','en');
INSERT INTO "labels" VALUES(545,143,'trolley case','trolley case','other','en');
INSERT INTO "labels" VALUES(546,143,'suit case','suit case','hidden','en');
INSERT INTO "labels" VALUES(547,144,'shopping bag','shopping bag','preferred','en');
INSERT INTO "labels" VALUES(548,144,'carrier bag','carrier bag','other','en');
INSERT INTO "labels" VALUES(549,144,'tote bag','tote bag','other','en');
INSERT INTO "labels" VALUES(550,144,'grocery bag','grocery bag','other','en');
INSERT INTO "labels" VALUES(551,145,'briefcase','briefcase','preferred','en');
INSERT INTO "labels" VALUES(552,145,'document case','document case','other','en');
INSERT INTO "labels" VALUES(553,145,'attache case','attache case','other','en');
INSERT INTO "labels" VALUES(554,146,'umbrella','umbrella','preferred','en');
INSERT INTO "labels" VALUES(555,146,'brolly','brolly','other','en');
INSERT INTO "labels" VALUES(556,146,'parasol','parasol','other','en');
INSERT INTO "labels" VALUES(557,146,'umberella','umberella','hidden','en');
INSERT INTO "labels" VALUES(558,147,'wristwatch','wristwatch','preferred','en');
INSERT INTO "labels" VALUES(559,147,'watch','watch','other','en');
INSERT INTO "labels" VALUES(560,147,'timepiece','timepiece','other','en');
INSERT INTO "labels" VALUES(561,147,'wrist watch','wrist watch','hidden','en');
INSERT INTO "labels" VALUES(562,148,'ring','ring','preferred','en');
INSERT INTO "labels" VALUES(563,148,'wedding ring','wedding ring','other','en');
INSERT INTO "labels" VALUES(564,148,'finger ring','finger ring','other','en');
INSERT INTO "labels" VALUES(565,149,'key','key','preferred','en');
INSERT INTO "labels" VALUES(566,149,'keys','keys','other','en');
INSERT INTO "labels" VALUES(567,149,'door key','door key','other','en');
INSERT INTO "labels" VALUES(568,150,'wallet','wallet','preferred','en');
INSERT INTO "labels" VALUES(569,150,'billfold','billfold','other','en');
INSERT INTO "labels" VALUES(570,150,'purse','purse','other','en');
INSERT INTO "labels" VALUES(571,151,'animal','animal','preferred','en');
INSERT INTO "labels" VALUES(572,151,'animals','animals','other','en');
INSERT INTO "labels" VALUES(573,151,'creature','creature','other','en');
INSERT INTO "labels" VALUES(574,151,'pet','pet','other','en');
INSERT INTO "labels" VALUES(575,151,'animel','animel','hidden','en');
INSERT INTO "labels" VALUES(576,152,'dog','dog','preferred','en');
INSERT INTO "labels" VALUES(577,152,'dogs','dogs','other','en');
INSERT INTO "labels" VALUES(578,152,'hound','hound','other','en');
INSERT INTO "labels" VALUES(579,152,'puppy','puppy','other','en');
INSERT INTO "labels" VALUES(580,152,'doggy','doggy','other','en');
INSERT INTO "labels" VALUES(581,152,'dgo','dgo','hidden','en');
INSERT INTO "labels" VALUES(582,153,'dog lead','dog lead','preferred','en');
INSERT INTO "labels" VALUES(583,153,'dog leash','dog leash','other','en');
INSERT INTO "labels" VALUES(584,153,'leash','leash','other','en');
INSERT INTO "labels" VALUES(585,154,'cat','cat','preferred','en');
INSERT INTO "labels" VALUES(586,154,'cats','cats','other','en');
INSERT INTO "labels" VALUES(587,154,'kitten','kitten','other','en');
INSERT INTO "labels" VALUES(588,154,'pussycat','pussycat','other','en');
INSERT INTO "labels" VALUES(589,155,'bird','bird','preferred','en');
INSERT INTO "labels" VALUES(590,155,'birds','birds','other','en');
INSERT INTO "labels" VALUES(591,156,'gull','gull','preferred','en');
INSERT INTO "labels" VALUES(592,156,'seagull','seagull','other','en');
INSERT INTO "labels" VALUES(593,156,'sea gull','sea gull','other','en');
INSERT INTO "labels" VALUES(594,156,'gulls','gulls','other','en');
INSERT INTO "labels" VALUES(595,156,'seegull','seegull','hidden','en');
INSERT INTO "labels" VALUES(596,157,'pigeon','pigeon','preferred','en');
INSERT INTO "labels" VALUES(597,157,'dove','dove','other','en');
INSERT INTO "labels" VALUES(598,157,'pigeons','pigeons','other','en');
INSERT INTO "labels" VALUES(599,157,'pidgeon','pidgeon','hidden','en');
INSERT INTO "labels" VALUES(600,158,'horse','horse','preferred','en');
INSERT INTO "labels" VALUES(601,158,'pony','pony','other','en');
INSERT INTO "labels" VALUES(602,158,'horses','horses','other','en');
INSERT INTO "labels" VALUES(603,159,'cow','cow','preferred','en');
INSERT INTO "labels" VALUES(604,159,'cattle','cattle','other','en');
INSERT INTO "labels" VALUES(605,159,'bull','bull','other','en');
INSERT INTO "labels" VALUES(606,159,'calf','calf','other','en');
INSERT INTO "labels" VALUES(607,160,'sheep','sheep','preferred','en');
INSERT INTO "labels" VALUES(608,160,'lamb','lamb','other','en');
INSERT INTO "labels" VALUES(609,160,'flock of sheep','flock of sheep','other','en');
INSERT INTO "labels" VALUES(610,161,'hen','hen','preferred','en');
INSERT INTO "labels" VALUES(611,161,'chicken','chicken','other','en');
INSERT INTO "labels" VALUES(612,161,'rooster','rooster','other','en');
INSERT INTO "labels" VALUES(613,161,'cockerel','cockerel','other','en');
INSERT INTO "labels" VALUES(614,162,'fish','fish','preferred','en');
INSERT INTO "labels" VALUES(615,162,'fishes','fishes','other','en');
INSERT INTO "labels" VALUES(616,162,'shoal','shoal','other','en');
INSERT INTO "labels" VALUES(617,163,'fox','fox','preferred','en');
INSERT INTO "labels" VALUES(618,163,'foxes','foxes','other','en');
INSERT INTO "labels" VALUES(619,164,'street','street','preferred','en');
INSERT INTO "labels" VALUES(620,164,'road','road','other','en');
INSERT INTO "labels" VALUES(621,164,'roadway','roadway','other','en');
INSERT INTO "labels" VALUES(622,164,'lane','lane','other','en');
INSERT INTO "labels" VALUES(623,164,'steet','steet','hidden','en');
INSERT INTO "labels" VALUES(624,165,'street front','street front','preferred','en');
INSERT INTO "labels" VALUES(625,165,'shop fronts','shop fronts','other','en');
INSERT INTO "labels" VALUES(626,165,'row of shops','row of shops','other','en');
INSERT INTO "labels" VALUES(627,165,'facade','facade','other','en');
INSERT INTO "labels" VALUES(628,165,'street facade','street facade','other','en');
INSERT INTO "labels" VALUES(629,166,'high street','high street','preferred','en');
INSERT INTO "labels" VALUES(630,166,'main street','main street','other','en');
INSERT INTO "labels" VALUES(631,166,'shopping street','shopping street','other','en');
INSERT INTO "labels" VALUES(632,167,'alley','alley','preferred','en');
INSERT INTO "labels" VALUES(633,167,'back street','back street','other','en');
INSERT INTO "labels" VALUES(634,167,'alleyway','alleyway','other','en');
INSERT INTO "labels" VALUES(635,167,'passage','passage','other','en');
INSERT INTO "labels" VALUES(636,167,'ally','ally','hidden','en');
INSERT INTO "labels" VALUES(637,168,'junction','junction','preferred','en');
INSERT INTO "labels" VALUES(638,168,'crossroads','crossroads','other','en');
INSERT INTO "labels" VALUES(639,168,'street corner','street corner','other','en');
INSERT INTO "labels" VALUES(640,168,'intersection','intersection','other','en');
INSERT INTO "labels" VALUES(641,169,'zebra crossing','zebra crossing','preferred','en');
INSERT INTO "labels" VALUES(642,169,'pedestrian crossing','pedestrian crossing','other','en');
INSERT INTO "labels" VALUES(643,169,'crosswalk','crosswalk','other','en');
INSERT INTO "labels" VALUES(644,170,'pavement','pavement','preferred','en');
INSERT INTO "labels" VALUES(645,170,'sidewalk','sidewalk','other','en');
INSERT INTO "labels" VALUES(646,170,'footpath','footpath','other','en');
INSERT INTO "labels" VALUES(647,170,'pavment','pavment','hidden','en');
INSERT INTO "labels" VALUES(648,171,'street lamp','street lamp','preferred','en');
INSERT INTO "labels" VALUES(649,171,'lamp post','lamp post','other','en');
INSERT INTO "labels" VALUES(650,171,'street light','street light','other','en');
INSERT INTO "labels" VALUES(651,171,'lamppost','lamppost','other','en');
INSERT INTO "labels" VALUES(652,172,'traffic light','traffic light','preferred','en');
INSERT INTO "labels" VALUES(653,172,'traffic lights','traffic lights','other','en');
INSERT INTO "labels" VALUES(654,172,'stop light','stop light','other','en');
INSERT INTO "labels" VALUES(655,172,'traffic signal','traffic signal','other','en');
INSERT INTO "labels" VALUES(656,173,'road sign','road sign','preferred','en');
INSERT INTO "labels" VALUES(657,173,'street sign','street sign','other','en');
INSERT INTO "labels" VALUES(658,173,'traffic sign','traffic sign','other','en');
INSERT INTO "labels" VALUES(659,174,'sign','sign','preferred','en');
INSERT INTO "labels" VALUES(660,174,'signboard','signboard','other','en');
INSERT INTO "labels" VALUES(661,174,'shop sign','shop sign','other','en');
INSERT INTO "labels" VALUES(662,174,'signage','signage','other','en');
INSERT INTO "labels" VALUES(663,175,'bus stop','bus stop','preferred','en');
INSERT INTO "labels" VALUES(664,175,'bus shelter','bus shelter','other','en');
INSERT INTO "labels" VALUES(665,176,'bench','bench','preferred','en');
INSERT INTO "labels" VALUES(666,176,'park bench','park bench','other','en');
INSERT INTO "labels" VALUES(667,176,'bentch','bentch','hidden','en');
INSERT INTO "labels" VALUES(668,177,'bollard','bollard','preferred','en');
INSERT INTO "labels" VALUES(669,177,'mooring post','mooring post','other','en');
INSERT INTO "labels" VALUES(670,177,'bolard','bolard','hidden','en');
INSERT INTO "labels" VALUES(671,178,'bin','bin','preferred','en');
INSERT INTO "labels" VALUES(672,178,'dustbin','dustbin','other','en');
INSERT INTO "labels" VALUES(673,178,'trash can','trash can','other','en');
INSERT INTO "labels" VALUES(674,178,'rubbish bin','rubbish bin','other','en');
INSERT INTO "labels" VALUES(675,178,'litter bin','litter bin','other','en');
INSERT INTO "labels" VALUES(676,179,'post box','post box','preferred','en');
INSERT INTO "labels" VALUES(677,179,'letter box','letter box','other','en');
INSERT INTO "labels" VALUES(678,179,'mailbox','mailbox','other','en');
INSERT INTO "labels" VALUES(679,180,'fence','fence','preferred','en');
INSERT INTO "labels" VALUES(680,180,'railings','railings','other','en');
INSERT INTO "labels" VALUES(681,180,'railing','railing','other','en');
INSERT INTO "labels" VALUES(682,180,'paling','paling','other','en');
INSERT INTO "labels" VALUES(683,181,'wall','wall','preferred','en');
INSERT INTO "labels" VALUES(684,181,'brick wall','brick wall','other','en');
INSERT INTO "labels" VALUES(685,182,'bridge','bridge','preferred','en');
INSERT INTO "labels" VALUES(686,182,'footbridge','footbridge','other','en');
INSERT INTO "labels" VALUES(687,182,'viaduct','viaduct','other','en');
INSERT INTO "labels" VALUES(688,183,'building','building','preferred','en');
INSERT INTO "labels" VALUES(689,183,'buildings','buildings','other','en');
INSERT INTO "labels" VALUES(690,183,'architecture','architecture','other','en');
INSERT INTO "labels" VALUES(691,183,'bulding','bulding','hidden','en');
INSERT INTO "labels" VALUES(692,184,'house','house','preferred','en');
INSERT INTO "labels" VALUES(693,184,'home','home','other','en');
INSERT INTO "labels" VALUES(694,184,'cottage','cottage','other','en');
INSERT INTO "labels" VALUES(695,184,'detached house','detached house','other','en');
INSERT INTO "labels" VALUES(696,184,'terraced house','terraced house','other','en');
INSERT INTO "labels" VALUES(697,184,'hous','hous','hidden','en');
INSERT INTO "labels" VALUES(698,185,'apartment block','apartment block','preferred','en');
INSERT INTO "labels" VALUES(699,185,'block of flats','block of flats','other','en');
INSERT INTO "labels" VALUES(700,185,'flats','flats','other','en');
INSERT INTO "labels" VALUES(701,185,'apartment building','apartment building','other','en');
INSERT INTO "labels" VALUES(702,185,'tower block','tower block','other','en');
INSERT INTO "labels" VALUES(703,185,'appartment','appartment','hidden','en');
INSERT INTO "labels" VALUES(704,186,'skyscraper','skyscraper','preferred','en');
INSERT INTO "labels" VALUES(705,186,'high-rise','high rise','other','en');
INSERT INTO "labels" VALUES(706,186,'tower','tower','other','en');
INSERT INTO "labels" VALUES(707,186,'skyscrapper','skyscrapper','hidden','en');
INSERT INTO "labels" VALUES(708,187,'shop','shop','preferred','en');
INSERT INTO "labels" VALUES(709,187,'store','store','other','en');
INSERT INTO "labels" VALUES(710,187,'shopfront','shopfront','other','en');
INSERT INTO "labels" VALUES(711,187,'storefront','storefront','other','en');
INSERT INTO "labels" VALUES(712,188,'bakery','bakery','preferred','en');
INSERT INTO "labels" VALUES(713,188,'bakehouse','bakehouse','other','en');
INSERT INTO "labels" VALUES(714,188,'bread shop','bread shop','other','en');
INSERT INTO "labels" VALUES(715,188,'baker''s shop','bakers shop','other','en');
INSERT INTO "labels" VALUES(716,188,'bakary','bakary','hidden','en');
INSERT INTO "labels" VALUES(717,188,'bakerie','bakerie','hidden','en');
INSERT INTO "labels" VALUES(718,189,'cafe','cafe','preferred','en');
INSERT INTO "labels" VALUES(719,189,'coffee shop','coffee shop','other','en');
INSERT INTO "labels" VALUES(720,189,'coffee bar','coffee bar','other','en');
INSERT INTO "labels" VALUES(721,189,'tea room','tea room','other','en');
INSERT INTO "labels" VALUES(722,189,'café terrace','cafe terrace','other','en');
INSERT INTO "labels" VALUES(723,189,'caffe','caffe','hidden','en');
INSERT INTO "labels" VALUES(724,190,'restaurant','restaurant','preferred','en');
INSERT INTO "labels" VALUES(725,190,'diner','diner','other','en');
INSERT INTO "labels" VALUES(726,190,'bistro','bistro','other','en');
INSERT INTO "labels" VALUES(727,190,'restaraunt','restaraunt','hidden','en');
INSERT INTO "labels" VALUES(728,190,'resturant','resturant','hidden','en');
INSERT INTO "labels" VALUES(729,191,'supermarket','supermarket','preferred','en');
INSERT INTO "labels" VALUES(730,191,'grocery store','grocery store','other','en');
INSERT INTO "labels" VALUES(731,191,'grocer''s','grocers','other','en');
INSERT INTO "labels" VALUES(732,192,'market stall','market stall','preferred','en');
INSERT INTO "labels" VALUES(733,192,'market stand','market stand','other','en');
INSERT INTO "labels" VALUES(734,192,'fruit stand','fruit stand','other','en');
INSERT INTO "labels" VALUES(735,192,'stall','stall','other','en');
INSERT INTO "labels" VALUES(736,193,'school','school','preferred','en');
INSERT INTO "labels" VALUES(737,193,'schoolhouse','schoolhouse','other','en');
INSERT INTO "labels" VALUES(738,193,'classroom building','classroom building','other','en');
INSERT INTO "labels" VALUES(739,194,'hospital','hospital','preferred','en');
INSERT INTO "labels" VALUES(740,194,'clinic','clinic','other','en');
INSERT INTO "labels" VALUES(741,195,'station','station','preferred','en');
INSERT INTO "labels" VALUES(742,195,'railway station','railway station','other','en');
INSERT INTO "labels" VALUES(743,195,'train station','train station','other','en');
INSERT INTO "labels" VALUES(744,195,'platform','platform','other','en');
INSERT INTO "labels" VALUES(745,196,'garage','garage','preferred','en');
INSERT INTO "labels" VALUES(746,196,'carport','carport','other','en');
INSERT INTO "labels" VALUES(747,196,'workshop for cars','workshop for cars','other','en');
INSERT INTO "labels" VALUES(748,196,'garrage','garrage','hidden','en');
INSERT INTO "labels" VALUES(749,197,'warehouse','warehouse','preferred','en');
INSERT INTO "labels" VALUES(750,197,'depot','depot','other','en');
INSERT INTO "labels" VALUES(751,197,'storehouse','storehouse','other','en');
INSERT INTO "labels" VALUES(752,198,'church','church','preferred','en');
INSERT INTO "labels" VALUES(753,198,'chapel','chapel','other','en');
INSERT INTO "labels" VALUES(754,199,'lighthouse','lighthouse','preferred','en');
INSERT INTO "labels" VALUES(755,199,'light tower','light tower','other','en');
INSERT INTO "labels" VALUES(756,199,'beacon','beacon','other','en');
INSERT INTO "labels" VALUES(757,199,'light house','light house','hidden','en');
INSERT INTO "labels" VALUES(758,200,'petrol station','petrol station','preferred','en');
INSERT INTO "labels" VALUES(759,200,'gas station','gas station','other','en');
INSERT INTO "labels" VALUES(760,200,'filling station','filling station','other','en');
INSERT INTO "labels" VALUES(761,201,'door','door','preferred','en');
INSERT INTO "labels" VALUES(762,201,'doorway','doorway','other','en');
INSERT INTO "labels" VALUES(763,201,'front door','front door','other','en');
INSERT INTO "labels" VALUES(764,201,'entrance','entrance','other','en');
INSERT INTO "labels" VALUES(765,202,'window','window','preferred','en');
INSERT INTO "labels" VALUES(766,202,'windows','windows','other','en');
INSERT INTO "labels" VALUES(767,202,'window pane','window pane','other','en');
INSERT INTO "labels" VALUES(768,202,'windo','windo','hidden','en');
INSERT INTO "labels" VALUES(769,203,'stairs','stairs','preferred','en');
INSERT INTO "labels" VALUES(770,203,'staircase','staircase','other','en');
INSERT INTO "labels" VALUES(771,203,'steps','steps','other','en');
INSERT INTO "labels" VALUES(772,203,'stairway','stairway','other','en');
INSERT INTO "labels" VALUES(773,203,'stares','stares','hidden','en');
INSERT INTO "labels" VALUES(774,204,'roof','roof','preferred','en');
INSERT INTO "labels" VALUES(775,204,'rooftop','rooftop','other','en');
INSERT INTO "labels" VALUES(776,204,'roofs','roofs','other','en');
INSERT INTO "labels" VALUES(777,205,'room','room','preferred','en');
INSERT INTO "labels" VALUES(778,205,'interior room','interior room','other','en');
INSERT INTO "labels" VALUES(779,205,'chamber','chamber','other','en');
INSERT INTO "labels" VALUES(780,206,'kitchen','kitchen','preferred','en');
INSERT INTO "labels" VALUES(781,206,'kitchenette','kitchenette','other','en');
INSERT INTO "labels" VALUES(782,206,'kichen','kichen','hidden','en');
INSERT INTO "labels" VALUES(783,207,'living room','living room','preferred','en');
INSERT INTO "labels" VALUES(784,207,'sitting room','sitting room','other','en');
INSERT INTO "labels" VALUES(785,207,'lounge','lounge','other','en');
INSERT INTO "labels" VALUES(786,207,'front room','front room','other','en');
INSERT INTO "labels" VALUES(787,208,'bedroom','bedroom','preferred','en');
INSERT INTO "labels" VALUES(788,208,'sleeping room','sleeping room','other','en');
INSERT INTO "labels" VALUES(789,208,'bed room','bed room','hidden','en');
INSERT INTO "labels" VALUES(790,209,'bathroom','bathroom','preferred','en');
INSERT INTO "labels" VALUES(791,209,'washroom','washroom','other','en');
INSERT INTO "labels" VALUES(792,209,'toilet','toilet','other','en');
INSERT INTO "labels" VALUES(793,209,'shower room','shower room','other','en');
INSERT INTO "labels" VALUES(794,210,'office','office','preferred','en');
INSERT INTO "labels" VALUES(795,210,'workplace','workplace','other','en');
INSERT INTO "labels" VALUES(796,210,'open-plan office','open plan office','other','en');
INSERT INTO "labels" VALUES(797,210,'study','study','other','en');
INSERT INTO "labels" VALUES(798,210,'ofice','ofice','hidden','en');
INSERT INTO "labels" VALUES(799,211,'classroom','classroom','preferred','en');
INSERT INTO "labels" VALUES(800,211,'schoolroom','schoolroom','other','en');
INSERT INTO "labels" VALUES(801,212,'corridor','corridor','preferred','en');
INSERT INTO "labels" VALUES(802,212,'hallway','hallway','other','en');
INSERT INTO "labels" VALUES(803,212,'hall','hall','other','en');
INSERT INTO "labels" VALUES(804,212,'passageway','passageway','other','en');
INSERT INTO "labels" VALUES(805,212,'coridor','coridor','hidden','en');
INSERT INTO "labels" VALUES(806,213,'shop counter','shop counter','preferred','en');
INSERT INTO "labels" VALUES(807,213,'counter','counter','other','en');
INSERT INTO "labels" VALUES(808,213,'serving counter','serving counter','other','en');
INSERT INTO "labels" VALUES(809,213,'bar counter','bar counter','other','en');
INSERT INTO "labels" VALUES(810,213,'conter','conter','hidden','en');
INSERT INTO "labels" VALUES(811,214,'waiting room','waiting room','preferred','en');
INSERT INTO "labels" VALUES(812,214,'departure lounge','departure lounge','other','en');
INSERT INTO "labels" VALUES(813,215,'furniture','furniture','preferred','en');
INSERT INTO "labels" VALUES(814,215,'furnishings','furnishings','other','en');
INSERT INTO "labels" VALUES(815,215,'furnature','furnature','hidden','en');
INSERT INTO "labels" VALUES(816,216,'chair','chair','preferred','en');
INSERT INTO "labels" VALUES(817,216,'seat','seat','other','en');
INSERT INTO "labels" VALUES(818,216,'stool','stool','other','en');
INSERT INTO "labels" VALUES(819,216,'dining chair','dining chair','other','en');
INSERT INTO "labels" VALUES(820,216,'chiar','chiar','hidden','en');
INSERT INTO "labels" VALUES(821,217,'armchair','armchair','preferred','en');
INSERT INTO "labels" VALUES(822,217,'easy chair','easy chair','other','en');
INSERT INTO "labels" VALUES(823,217,'arm-chair','arm chair','other','en');
INSERT INTO "labels" VALUES(824,218,'high chair','high chair','preferred','en');
INSERT INTO "labels" VALUES(825,218,'baby chair','baby chair','other','en');
INSERT INTO "labels" VALUES(826,219,'sofa','sofa','preferred','en');
INSERT INTO "labels" VALUES(827,219,'couch','couch','other','en');
INSERT INTO "labels" VALUES(828,219,'settee','settee','other','en');
INSERT INTO "labels" VALUES(829,219,'soffa','soffa','hidden','en');
INSERT INTO "labels" VALUES(830,220,'table','table','preferred','en');
INSERT INTO "labels" VALUES(831,220,'dining table','dining table','other','en');
INSERT INTO "labels" VALUES(832,220,'kitchen table','kitchen table','other','en');
INSERT INTO "labels" VALUES(833,220,'tabel','tabel','hidden','en');
INSERT INTO "labels" VALUES(834,221,'desk','desk','preferred','en');
INSERT INTO "labels" VALUES(835,221,'writing desk','writing desk','other','en');
INSERT INTO "labels" VALUES(836,221,'work desk','work desk','other','en');
INSERT INTO "labels" VALUES(837,222,'bed','bed','preferred','en');
INSERT INTO "labels" VALUES(838,222,'bunk','bunk','other','en');
INSERT INTO "labels" VALUES(839,222,'double bed','double bed','other','en');
INSERT INTO "labels" VALUES(840,223,'cot','cot','preferred','en');
INSERT INTO "labels" VALUES(841,223,'crib','crib','other','en');
INSERT INTO "labels" VALUES(842,223,'baby bed','baby bed','other','en');
INSERT INTO "labels" VALUES(843,224,'shelf','shelf','preferred','en');
INSERT INTO "labels" VALUES(844,224,'shelves','shelves','other','en');
INSERT INTO "labels" VALUES(845,224,'shelving','shelving','other','en');
INSERT INTO "labels" VALUES(846,224,'bookcase','bookcase','other','en');
INSERT INTO "labels" VALUES(847,224,'rack','rack','other','en');
INSERT INTO "labels" VALUES(848,224,'shelve','shelve','hidden','en');
INSERT INTO "labels" VALUES(849,225,'cupboard','cupboard','preferred','en');
INSERT INTO "labels" VALUES(850,225,'cabinet','cabinet','other','en');
INSERT INTO "labels" VALUES(851,225,'wardrobe','wardrobe','other','en');
INSERT INTO "labels" VALUES(852,225,'closet','closet','other','en');
INSERT INTO "labels" VALUES(853,225,'cubbord','cubbord','hidden','en');
INSERT INTO "labels" VALUES(854,226,'lamp','lamp','preferred','en');
INSERT INTO "labels" VALUES(855,226,'light','light','other','en');
INSERT INTO "labels" VALUES(856,226,'table lamp','table lamp','other','en');
INSERT INTO "labels" VALUES(857,226,'standing lamp','standing lamp','other','en');
INSERT INTO "labels" VALUES(858,226,'floor lamp','floor lamp','other','en');
INSERT INTO "labels" VALUES(859,227,'mirror','mirror','preferred','en');
INSERT INTO "labels" VALUES(860,227,'looking glass','looking glass','other','en');
INSERT INTO "labels" VALUES(861,227,'wall mirror','wall mirror','other','en');
INSERT INTO "labels" VALUES(862,227,'miror','miror','hidden','en');
INSERT INTO "labels" VALUES(863,228,'picture frame','picture frame','preferred','en');
INSERT INTO "labels" VALUES(864,228,'framed picture','framed picture','other','en');
INSERT INTO "labels" VALUES(865,228,'wall picture','wall picture','other','en');
INSERT INTO "labels" VALUES(866,229,'clock','clock','preferred','en');
INSERT INTO "labels" VALUES(867,229,'wall clock','wall clock','other','en');
INSERT INTO "labels" VALUES(868,229,'alarm clock','alarm clock','other','en');
INSERT INTO "labels" VALUES(869,230,'curtain','curtain','preferred','en');
INSERT INTO "labels" VALUES(870,230,'curtains','curtains','other','en');
INSERT INTO "labels" VALUES(871,230,'drapes','drapes','other','en');
INSERT INTO "labels" VALUES(872,230,'blinds','blinds','other','en');
INSERT INTO "labels" VALUES(873,230,'curtan','curtan','hidden','en');
INSERT INTO "labels" VALUES(874,231,'plant','plant','preferred','en');
INSERT INTO "labels" VALUES(875,231,'potted plant','potted plant','other','en');
INSERT INTO "labels" VALUES(876,231,'houseplant','houseplant','other','en');
INSERT INTO "labels" VALUES(877,231,'pot plant','pot plant','other','en');
INSERT INTO "labels" VALUES(878,232,'flower','flower','preferred','en');
INSERT INTO "labels" VALUES(879,232,'flowers','flowers','other','en');
INSERT INTO "labels" VALUES(880,232,'bouquet','bouquet','other','en');
INSERT INTO "labels" VALUES(881,232,'blossom','blossom','other','en');
INSERT INTO "labels" VALUES(882,232,'flouer','flouer','hidden','en');
INSERT INTO "labels" VALUES(883,233,'tree','tree','preferred','en');
INSERT INTO "labels" VALUES(884,233,'trees','trees','other','en');
INSERT INTO "labels" VALUES(885,234,'cooker','cooker','preferred','en');
INSERT INTO "labels" VALUES(886,234,'stove','stove','other','en');
INSERT INTO "labels" VALUES(887,234,'hob','hob','other','en');
INSERT INTO "labels" VALUES(888,234,'range cooker','range cooker','other','en');
INSERT INTO "labels" VALUES(889,235,'oven','oven','preferred','en');
INSERT INTO "labels" VALUES(890,235,'baking oven','baking oven','other','en');
INSERT INTO "labels" VALUES(891,235,'baker''s oven','bakers oven','other','en');
INSERT INTO "labels" VALUES(892,235,'ovan','ovan','hidden','en');
INSERT INTO "labels" VALUES(893,236,'fridge','fridge','preferred','en');
INSERT INTO "labels" VALUES(894,236,'refrigerator','refrigerator','other','en');
INSERT INTO "labels" VALUES(895,236,'freezer','freezer','other','en');
INSERT INTO "labels" VALUES(896,236,'frige','frige','hidden','en');
INSERT INTO "labels" VALUES(897,236,'refridgerator','refridgerator','hidden','en');
INSERT INTO "labels" VALUES(898,237,'sink','sink','preferred','en');
INSERT INTO "labels" VALUES(899,237,'kitchen sink','kitchen sink','other','en');
INSERT INTO "labels" VALUES(900,237,'washbasin','washbasin','other','en');
INSERT INTO "labels" VALUES(901,237,'basin','basin','other','en');
INSERT INTO "labels" VALUES(902,238,'tap','tap','preferred','en');
INSERT INTO "labels" VALUES(903,238,'faucet','faucet','other','en');
INSERT INTO "labels" VALUES(904,239,'kettle','kettle','preferred','en');
INSERT INTO "labels" VALUES(905,239,'tea kettle','tea kettle','other','en');
INSERT INTO "labels" VALUES(906,239,'water boiler','water boiler','other','en');
INSERT INTO "labels" VALUES(907,240,'frying pan','frying pan','preferred','en');
INSERT INTO "labels" VALUES(908,240,'skillet','skillet','other','en');
INSERT INTO "labels" VALUES(909,240,'pan','pan','other','en');
INSERT INTO "labels" VALUES(910,241,'pot','pot','preferred','en');
INSERT INTO "labels" VALUES(911,241,'saucepan','saucepan','other','en');
INSERT INTO "labels" VALUES(912,241,'cooking pot','cooking pot','other','en');
INSERT INTO "labels" VALUES(913,242,'food','food','preferred','en');
INSERT INTO "labels" VALUES(914,242,'meal','meal','other','en');
INSERT INTO "labels" VALUES(915,242,'dish','dish','other','en');
INSERT INTO "labels" VALUES(916,243,'bread','bread','preferred','en');
INSERT INTO "labels" VALUES(917,243,'loaf','loaf','other','en');
INSERT INTO "labels" VALUES(918,243,'loaves','loaves','other','en');
INSERT INTO "labels" VALUES(919,243,'loaf of bread','loaf of bread','other','en');
INSERT INTO "labels" VALUES(920,243,'bred','bred','hidden','en');
INSERT INTO "labels" VALUES(921,243,'braed','braed','hidden','en');
INSERT INTO "labels" VALUES(922,244,'bread roll','bread roll','preferred','en');
INSERT INTO "labels" VALUES(923,244,'roll','roll','other','en');
INSERT INTO "labels" VALUES(924,244,'bun','bun','other','en');
INSERT INTO "labels" VALUES(925,244,'rolls','rolls','other','en');
INSERT INTO "labels" VALUES(926,244,'buns','buns','other','en');
INSERT INTO "labels" VALUES(927,245,'baguette','baguette','preferred','en');
INSERT INTO "labels" VALUES(928,245,'French stick','french stick','other','en');
INSERT INTO "labels" VALUES(929,245,'long loaf','long loaf','other','en');
INSERT INTO "labels" VALUES(930,245,'bagette','bagette','hidden','en');
INSERT INTO "labels" VALUES(931,245,'baguete','baguete','hidden','en');
INSERT INTO "labels" VALUES(932,246,'croissant','croissant','preferred','en');
INSERT INTO "labels" VALUES(933,246,'croissants','croissants','other','en');
INSERT INTO "labels" VALUES(934,246,'crossant','crossant','hidden','en');
INSERT INTO "labels" VALUES(935,246,'croisant','croisant','hidden','en');
INSERT INTO "labels" VALUES(936,247,'pastry','pastry','preferred','en');
INSERT INTO "labels" VALUES(937,247,'pastries','pastries','other','en');
INSERT INTO "labels" VALUES(938,247,'Danish pastry','danish pastry','other','en');
INSERT INTO "labels" VALUES(939,247,'puff pastry','puff pastry','other','en');
INSERT INTO "labels" VALUES(940,247,'pastery','pastery','hidden','en');
INSERT INTO "labels" VALUES(941,248,'cake','cake','preferred','en');
INSERT INTO "labels" VALUES(942,248,'birthday cake','birthday cake','other','en');
INSERT INTO "labels" VALUES(943,248,'gateau','gateau','other','en');
INSERT INTO "labels" VALUES(944,248,'cupcake','cupcake','other','en');
INSERT INTO "labels" VALUES(945,249,'pie','pie','preferred','en');
INSERT INTO "labels" VALUES(946,249,'tart','tart','other','en');
INSERT INTO "labels" VALUES(947,249,'pasty','pasty','other','en');
INSERT INTO "labels" VALUES(948,250,'biscuit','biscuit','preferred','en');
INSERT INTO "labels" VALUES(949,250,'cookie','cookie','other','en');
INSERT INTO "labels" VALUES(950,250,'biscuits','biscuits','other','en');
INSERT INTO "labels" VALUES(951,250,'cookies','cookies','other','en');
INSERT INTO "labels" VALUES(952,250,'bisquit','bisquit','hidden','en');
INSERT INTO "labels" VALUES(953,251,'doughnut','doughnut','preferred','en');
INSERT INTO "labels" VALUES(954,251,'donut','donut','other','en');
INSERT INTO "labels" VALUES(955,251,'dougnut','dougnut','hidden','en');
INSERT INTO "labels" VALUES(956,252,'dough','dough','preferred','en');
INSERT INTO "labels" VALUES(957,252,'bread dough','bread dough','other','en');
INSERT INTO "labels" VALUES(958,252,'pastry dough','pastry dough','other','en');
INSERT INTO "labels" VALUES(959,252,'doe','doe','hidden','en');
INSERT INTO "labels" VALUES(960,253,'flour','flour','preferred','en');
INSERT INTO "labels" VALUES(961,253,'bag of flour','bag of flour','other','en');
INSERT INTO "labels" VALUES(962,253,'flour sack','flour sack','other','en');
INSERT INTO "labels" VALUES(963,254,'sandwich','sandwich','preferred','en');
INSERT INTO "labels" VALUES(964,254,'toastie','toastie','other','en');
INSERT INTO "labels" VALUES(965,254,'filled roll','filled roll','other','en');
INSERT INTO "labels" VALUES(966,254,'sandwhich','sandwhich','hidden','en');
INSERT INTO "labels" VALUES(967,255,'pizza','pizza','preferred','en');
INSERT INTO "labels" VALUES(968,255,'slice of pizza','slice of pizza','other','en');
INSERT INTO "labels" VALUES(969,255,'piza','piza','hidden','en');
INSERT INTO "labels" VALUES(970,256,'cheese','cheese','preferred','en');
INSERT INTO "labels" VALUES(971,256,'wedge of cheese','wedge of cheese','other','en');
INSERT INTO "labels" VALUES(972,257,'egg','egg','preferred','en');
INSERT INTO "labels" VALUES(973,257,'eggs','eggs','other','en');
INSERT INTO "labels" VALUES(974,258,'fruit','fruit','preferred','en');
INSERT INTO "labels" VALUES(975,258,'apple','apple','other','en');
INSERT INTO "labels" VALUES(976,258,'orange','orange','other','en');
INSERT INTO "labels" VALUES(977,258,'banana','banana','other','en');
INSERT INTO "labels" VALUES(978,258,'fruit bowl','fruit bowl','other','en');
INSERT INTO "labels" VALUES(979,259,'vegetable','vegetable','preferred','en');
INSERT INTO "labels" VALUES(980,259,'vegetables','vegetables','other','en');
INSERT INTO "labels" VALUES(981,259,'carrot','carrot','other','en');
INSERT INTO "labels" VALUES(982,259,'greens','greens','other','en');
INSERT INTO "labels" VALUES(983,259,'vegtable','vegtable','hidden','en');
INSERT INTO "labels" VALUES(984,260,'butter','butter','preferred','en');
INSERT INTO "labels" VALUES(985,260,'butter dish','butter dish','other','en');
INSERT INTO "labels" VALUES(986,261,'drink','drink','preferred','en');
INSERT INTO "labels" VALUES(987,261,'beverage','beverage','other','en');
INSERT INTO "labels" VALUES(988,261,'drinks','drinks','other','en');
INSERT INTO "labels" VALUES(989,262,'coffee','coffee','preferred','en');
INSERT INTO "labels" VALUES(990,262,'espresso','espresso','other','en');
INSERT INTO "labels" VALUES(991,262,'cappuccino','cappuccino','other','en');
INSERT INTO "labels" VALUES(992,262,'flat white','flat white','other','en');
INSERT INTO "labels" VALUES(993,262,'cup of coffee','cup of coffee','other','en');
INSERT INTO "labels" VALUES(994,262,'cofee','cofee','hidden','en');
INSERT INTO "labels" VALUES(995,262,'coffe','coffe','hidden','en');
INSERT INTO "labels" VALUES(996,263,'tea','tea','preferred','en');
INSERT INTO "labels" VALUES(997,263,'cup of tea','cup of tea','other','en');
INSERT INTO "labels" VALUES(998,263,'teapot','teapot','other','en');
INSERT INTO "labels" VALUES(999,264,'milk','milk','preferred','en');
INSERT INTO "labels" VALUES(1000,264,'milk bottle','milk bottle','other','en');
INSERT INTO "labels" VALUES(1001,264,'milk carton','milk carton','other','en');
INSERT INTO "labels" VALUES(1002,265,'beer','beer','preferred','en');
INSERT INTO "labels" VALUES(1003,265,'pint','pint','other','en');
INSERT INTO "labels" VALUES(1004,265,'lager','lager','other','en');
INSERT INTO "labels" VALUES(1005,265,'ale','ale','other','en');
INSERT INTO "labels" VALUES(1006,266,'wine','wine','preferred','en');
INSERT INTO "labels" VALUES(1007,266,'wine bottle','wine bottle','other','en');
INSERT INTO "labels" VALUES(1008,266,'wine glass','wine glass','other','en');
INSERT INTO "labels" VALUES(1009,267,'water bottle','water bottle','preferred','en');
INSERT INTO "labels" VALUES(1010,267,'bottle of water','bottle of water','other','en');
INSERT INTO "labels" VALUES(1011,268,'bottle','bottle','preferred','en');
INSERT INTO "labels" VALUES(1012,268,'bottles','bottles','other','en');
INSERT INTO "labels" VALUES(1013,269,'cup','cup','preferred','en');
INSERT INTO "labels" VALUES(1014,269,'mug','mug','other','en');
INSERT INTO "labels" VALUES(1015,269,'teacup','teacup','other','en');
INSERT INTO "labels" VALUES(1016,269,'coffee cup','coffee cup','other','en');
INSERT INTO "labels" VALUES(1017,270,'takeaway cup','takeaway cup','preferred','en');
INSERT INTO "labels" VALUES(1018,270,'paper cup','paper cup','other','en');
INSERT INTO "labels" VALUES(1019,270,'to-go cup','to go cup','other','en');
INSERT INTO "labels" VALUES(1020,270,'take-out cup','take out cup','other','en');
INSERT INTO "labels" VALUES(1021,270,'take away cup','take away cup','hidden','en');
INSERT INTO "labels" VALUES(1022,271,'glass','glass','preferred','en');
INSERT INTO "labels" VALUES(1023,271,'tumbler','tumbler','other','en');
INSERT INTO "labels" VALUES(1024,271,'drinking glass','drinking glass','other','en');
INSERT INTO "labels" VALUES(1025,272,'plate','plate','preferred','en');
INSERT INTO "labels" VALUES(1026,272,'dish of food','dish of food','other','en');
INSERT INTO "labels" VALUES(1027,272,'saucer','saucer','other','en');
INSERT INTO "labels" VALUES(1028,273,'tableware','tableware','preferred','en');
INSERT INTO "labels" VALUES(1029,273,'crockery','crockery','other','en');
INSERT INTO "labels" VALUES(1030,273,'dishes','dishes','other','en');
INSERT INTO "labels" VALUES(1031,273,'cutlery','cutlery','other','en');
INSERT INTO "labels" VALUES(1032,273,'knife and fork','knife and fork','other','en');
INSERT INTO "labels" VALUES(1033,274,'knife','knife','preferred','en');
INSERT INTO "labels" VALUES(1034,274,'bread knife','bread knife','other','en');
INSERT INTO "labels" VALUES(1035,274,'kitchen knife','kitchen knife','other','en');
INSERT INTO "labels" VALUES(1036,274,'nife','nife','hidden','en');
INSERT INTO "labels" VALUES(1037,275,'rolling pin','rolling pin','preferred','en');
INSERT INTO "labels" VALUES(1038,275,'dough roller','dough roller','other','en');
INSERT INTO "labels" VALUES(1039,275,'roling pin','roling pin','hidden','en');
INSERT INTO "labels" VALUES(1040,276,'baking tray','baking tray','preferred','en');
INSERT INTO "labels" VALUES(1041,276,'oven tray','oven tray','other','en');
INSERT INTO "labels" VALUES(1042,276,'baking sheet','baking sheet','other','en');
INSERT INTO "labels" VALUES(1043,276,'tray','tray','other','en');
INSERT INTO "labels" VALUES(1044,277,'bread basket','bread basket','preferred','en');
INSERT INTO "labels" VALUES(1045,277,'basket','basket','other','en');
INSERT INTO "labels" VALUES(1046,277,'wicker basket','wicker basket','other','en');
INSERT INTO "labels" VALUES(1047,278,'whisk','whisk','preferred','en');
INSERT INTO "labels" VALUES(1048,278,'egg beater','egg beater','other','en');
INSERT INTO "labels" VALUES(1049,278,'mixer','mixer','other','en');
INSERT INTO "labels" VALUES(1050,279,'till','till','preferred','en');
INSERT INTO "labels" VALUES(1051,279,'cash register','cash register','other','en');
INSERT INTO "labels" VALUES(1052,279,'checkout','checkout','other','en');
INSERT INTO "labels" VALUES(1053,280,'money','money','preferred','en');
INSERT INTO "labels" VALUES(1054,280,'cash','cash','other','en');
INSERT INTO "labels" VALUES(1055,280,'coins','coins','other','en');
INSERT INTO "labels" VALUES(1056,280,'banknotes','banknotes','other','en');
INSERT INTO "labels" VALUES(1057,281,'price tag','price tag','preferred','en');
INSERT INTO "labels" VALUES(1058,281,'price label','price label','other','en');
INSERT INTO "labels" VALUES(1059,281,'label','label','other','en');
INSERT INTO "labels" VALUES(1060,282,'box','box','preferred','en');
INSERT INTO "labels" VALUES(1061,282,'cardboard box','cardboard box','other','en');
INSERT INTO "labels" VALUES(1062,282,'carton','carton','other','en');
INSERT INTO "labels" VALUES(1063,282,'crate','crate','other','en');
INSERT INTO "labels" VALUES(1064,283,'parcel','parcel','preferred','en');
INSERT INTO "labels" VALUES(1065,283,'package','package','other','en');
INSERT INTO "labels" VALUES(1066,283,'packet','packet','other','en');
INSERT INTO "labels" VALUES(1067,283,'delivery box','delivery box','other','en');
INSERT INTO "labels" VALUES(1068,283,'parsel','parsel','hidden','en');
INSERT INTO "labels" VALUES(1069,284,'paper bag','paper bag','preferred','en');
INSERT INTO "labels" VALUES(1070,284,'bread bag','bread bag','other','en');
INSERT INTO "labels" VALUES(1071,284,'bakery bag','bakery bag','other','en');
INSERT INTO "labels" VALUES(1072,285,'product pack','product pack','preferred','en');
INSERT INTO "labels" VALUES(1073,285,'packaging','packaging','other','en');
INSERT INTO "labels" VALUES(1074,285,'package design','package design','other','en');
INSERT INTO "labels" VALUES(1075,285,'pack','pack','other','en');
INSERT INTO "labels" VALUES(1076,286,'delivery','delivery','preferred','en');
INSERT INTO "labels" VALUES(1077,286,'deliveries','deliveries','other','en');
INSERT INTO "labels" VALUES(1078,286,'dropping off','dropping off','other','en');
INSERT INTO "labels" VALUES(1079,287,'newspaper','newspaper','preferred','en');
INSERT INTO "labels" VALUES(1080,287,'daily paper','daily paper','other','en');
INSERT INTO "labels" VALUES(1081,287,'news paper','news paper','hidden','en');
INSERT INTO "labels" VALUES(1082,288,'book','book','preferred','en');
INSERT INTO "labels" VALUES(1083,288,'books','books','other','en');
INSERT INTO "labels" VALUES(1084,288,'novel','novel','other','en');
INSERT INTO "labels" VALUES(1085,289,'letter','letter','preferred','en');
INSERT INTO "labels" VALUES(1086,289,'envelope','envelope','other','en');
INSERT INTO "labels" VALUES(1087,289,'mail','mail','other','en');
INSERT INTO "labels" VALUES(1088,290,'map','map','preferred','en');
INSERT INTO "labels" VALUES(1089,290,'road map','road map','other','en');
INSERT INTO "labels" VALUES(1090,290,'plan of a town','plan of a town','other','en');
INSERT INTO "labels" VALUES(1091,291,'ticket','ticket','preferred','en');
INSERT INTO "labels" VALUES(1092,291,'boarding card','boarding card','other','en');
INSERT INTO "labels" VALUES(1093,291,'tickets','tickets','other','en');
INSERT INTO "labels" VALUES(1094,291,'tiket','tiket','hidden','en');
INSERT INTO "labels" VALUES(1095,292,'pen','pen','preferred','en');
INSERT INTO "labels" VALUES(1096,292,'pencil','pencil','other','en');
INSERT INTO "labels" VALUES(1097,292,'biro','biro','other','en');
INSERT INTO "labels" VALUES(1098,292,'ballpoint','ballpoint','other','en');
INSERT INTO "labels" VALUES(1099,293,'toy','toy','preferred','en');
INSERT INTO "labels" VALUES(1100,293,'toys','toys','other','en');
INSERT INTO "labels" VALUES(1101,293,'doll','doll','other','en');
INSERT INTO "labels" VALUES(1102,293,'dolly','dolly','other','en');
INSERT INTO "labels" VALUES(1103,293,'teddy bear','teddy bear','other','en');
INSERT INTO "labels" VALUES(1104,294,'ball','ball','preferred','en');
INSERT INTO "labels" VALUES(1105,294,'football','football','other','en');
INSERT INTO "labels" VALUES(1106,294,'beach ball','beach ball','other','en');
INSERT INTO "labels" VALUES(1107,295,'boat','boat','preferred','en');
INSERT INTO "labels" VALUES(1108,295,'boats','boats','other','en');
INSERT INTO "labels" VALUES(1109,295,'vessel','vessel','other','en');
INSERT INTO "labels" VALUES(1110,295,'watercraft','watercraft','other','en');
INSERT INTO "labels" VALUES(1111,295,'baot','baot','hidden','en');
INSERT INTO "labels" VALUES(1112,296,'ferry','ferry','preferred','en');
INSERT INTO "labels" VALUES(1113,296,'ferries','ferries','other','en');
INSERT INTO "labels" VALUES(1114,296,'ferryboat','ferryboat','other','en');
INSERT INTO "labels" VALUES(1115,296,'car ferry','car ferry','other','en');
INSERT INTO "labels" VALUES(1116,296,'island ferry','island ferry','other','en');
INSERT INTO "labels" VALUES(1117,296,'fery','fery','hidden','en');
INSERT INTO "labels" VALUES(1118,296,'ferrie','ferrie','hidden','en');
INSERT INTO "labels" VALUES(1119,297,'sailing boat','sailing boat','preferred','en');
INSERT INTO "labels" VALUES(1120,297,'sailboat','sailboat','other','en');
INSERT INTO "labels" VALUES(1121,297,'yacht','yacht','other','en');
INSERT INTO "labels" VALUES(1122,297,'sail boat','sail boat','hidden','en');
INSERT INTO "labels" VALUES(1123,298,'rowing boat','rowing boat','preferred','en');
INSERT INTO "labels" VALUES(1124,298,'rowboat','rowboat','other','en');
INSERT INTO "labels" VALUES(1125,298,'dinghy','dinghy','other','en');
INSERT INTO "labels" VALUES(1126,299,'fishing boat','fishing boat','preferred','en');
INSERT INTO "labels" VALUES(1127,299,'trawler','trawler','other','en');
INSERT INTO "labels" VALUES(1128,299,'fishing vessel','fishing vessel','other','en');
INSERT INTO "labels" VALUES(1129,300,'ship','ship','preferred','en');
INSERT INTO "labels" VALUES(1130,300,'cargo ship','cargo ship','other','en');
INSERT INTO "labels" VALUES(1131,300,'liner','liner','other','en');
INSERT INTO "labels" VALUES(1132,300,'freighter','freighter','other','en');
INSERT INTO "labels" VALUES(1133,301,'canoe','canoe','preferred','en');
INSERT INTO "labels" VALUES(1134,301,'kayak','kayak','other','en');
INSERT INTO "labels" VALUES(1135,302,'ship''s deck','ships deck','preferred','en');
INSERT INTO "labels" VALUES(1136,302,'deck','deck','other','en');
INSERT INTO "labels" VALUES(1137,302,'car deck','car deck','other','en');
INSERT INTO "labels" VALUES(1138,302,'upper deck','upper deck','other','en');
INSERT INTO "labels" VALUES(1139,303,'gangway','gangway','preferred','en');
INSERT INTO "labels" VALUES(1140,303,'gangplank','gangplank','other','en');
INSERT INTO "labels" VALUES(1141,303,'boarding ramp','boarding ramp','other','en');
INSERT INTO "labels" VALUES(1142,303,'ramp','ramp','other','en');
INSERT INTO "labels" VALUES(1143,303,'boarding bridge','boarding bridge','other','en');
INSERT INTO "labels" VALUES(1144,303,'gang way','gang way','hidden','en');
INSERT INTO "labels" VALUES(1145,304,'ship''s bridge','ships bridge','preferred','en');
INSERT INTO "labels" VALUES(1146,304,'wheelhouse','wheelhouse','other','en');
INSERT INTO "labels" VALUES(1147,304,'helm','helm','other','en');
INSERT INTO "labels" VALUES(1148,305,'mast','mast','preferred','en');
INSERT INTO "labels" VALUES(1149,305,'rigging','rigging','other','en');
INSERT INTO "labels" VALUES(1150,305,'sail','sail','other','en');
INSERT INTO "labels" VALUES(1151,305,'sails','sails','other','en');
INSERT INTO "labels" VALUES(1152,306,'lifebuoy','lifebuoy','preferred','en');
INSERT INTO "labels" VALUES(1153,306,'life ring','life ring','other','en');
INSERT INTO "labels" VALUES(1154,306,'lifebelt','lifebelt','other','en');
INSERT INTO "labels" VALUES(1155,306,'life bouy','life bouy','hidden','en');
INSERT INTO "labels" VALUES(1156,307,'anchor','anchor','preferred','en');
INSERT INTO "labels" VALUES(1157,307,'ship''s anchor','ships anchor','other','en');
INSERT INTO "labels" VALUES(1158,307,'ankor','ankor','hidden','en');
INSERT INTO "labels" VALUES(1159,308,'rope','rope','preferred','en');
INSERT INTO "labels" VALUES(1160,308,'mooring line','mooring line','other','en');
INSERT INTO "labels" VALUES(1161,308,'mooring rope','mooring rope','other','en');
INSERT INTO "labels" VALUES(1162,308,'line of rope','line of rope','other','en');
INSERT INTO "labels" VALUES(1163,309,'harbour','harbour','preferred','en');
INSERT INTO "labels" VALUES(1164,309,'harbor','harbor','other','en');
INSERT INTO "labels" VALUES(1165,309,'port','port','other','en');
INSERT INTO "labels" VALUES(1166,309,'marina','marina','other','en');
INSERT INTO "labels" VALUES(1167,309,'habour','habour','hidden','en');
INSERT INTO "labels" VALUES(1168,310,'quay','quay','preferred','en');
INSERT INTO "labels" VALUES(1169,310,'wharf','wharf','other','en');
INSERT INTO "labels" VALUES(1170,310,'ferry landing','ferry landing','other','en');
INSERT INTO "labels" VALUES(1171,310,'dock','dock','other','en');
INSERT INTO "labels" VALUES(1172,310,'dockside','dockside','other','en');
INSERT INTO "labels" VALUES(1173,310,'quey','quey','hidden','en');
INSERT INTO "labels" VALUES(1174,311,'pier','pier','preferred','en');
INSERT INTO "labels" VALUES(1175,311,'jetty','jetty','other','en');
INSERT INTO "labels" VALUES(1176,311,'landing stage','landing stage','other','en');
INSERT INTO "labels" VALUES(1177,312,'harbour crane','harbour crane','preferred','en');
INSERT INTO "labels" VALUES(1178,312,'dock crane','dock crane','other','en');
INSERT INTO "labels" VALUES(1179,312,'cargo crane','cargo crane','other','en');
INSERT INTO "labels" VALUES(1180,312,'loading crane','loading crane','other','en');
INSERT INTO "labels" VALUES(1181,313,'container','container','preferred','en');
INSERT INTO "labels" VALUES(1182,313,'shipping container','shipping container','other','en');
INSERT INTO "labels" VALUES(1183,313,'cargo container','cargo container','other','en');
INSERT INTO "labels" VALUES(1184,314,'buoy','buoy','preferred','en');
INSERT INTO "labels" VALUES(1185,314,'marker buoy','marker buoy','other','en');
INSERT INTO "labels" VALUES(1186,314,'bouy','bouy','hidden','en');
INSERT INTO "labels" VALUES(1187,315,'landscape','landscape','preferred','en');
INSERT INTO "labels" VALUES(1188,315,'scenery','scenery','other','en');
INSERT INTO "labels" VALUES(1189,315,'countryside','countryside','other','en');
INSERT INTO "labels" VALUES(1190,315,'lanscape','lanscape','hidden','en');
INSERT INTO "labels" VALUES(1191,316,'sea','sea','preferred','en');
INSERT INTO "labels" VALUES(1192,316,'ocean','ocean','other','en');
INSERT INTO "labels" VALUES(1193,316,'open water','open water','other','en');
INSERT INTO "labels" VALUES(1194,317,'wave','wave','preferred','en');
INSERT INTO "labels" VALUES(1195,317,'waves','waves','other','en');
INSERT INTO "labels" VALUES(1196,317,'surf','surf','other','en');
INSERT INTO "labels" VALUES(1197,317,'swell','swell','other','en');
INSERT INTO "labels" VALUES(1198,318,'beach','beach','preferred','en');
INSERT INTO "labels" VALUES(1199,318,'shore','shore','other','en');
INSERT INTO "labels" VALUES(1200,318,'seashore','seashore','other','en');
INSERT INTO "labels" VALUES(1201,318,'seaside','seaside','other','en');
INSERT INTO "labels" VALUES(1202,318,'coast','coast','other','en');
INSERT INTO "labels" VALUES(1203,318,'beech','beech','hidden','en');
INSERT INTO "labels" VALUES(1204,319,'island','island','preferred','en');
INSERT INTO "labels" VALUES(1205,319,'isle','isle','other','en');
INSERT INTO "labels" VALUES(1206,319,'islet','islet','other','en');
INSERT INTO "labels" VALUES(1207,319,'iland','iland','hidden','en');
INSERT INTO "labels" VALUES(1208,320,'cliff','cliff','preferred','en');
INSERT INTO "labels" VALUES(1209,320,'cliffs','cliffs','other','en');
INSERT INTO "labels" VALUES(1210,320,'rocks','rocks','other','en');
INSERT INTO "labels" VALUES(1211,320,'headland','headland','other','en');
INSERT INTO "labels" VALUES(1212,321,'mountain','mountain','preferred','en');
INSERT INTO "labels" VALUES(1213,321,'mountains','mountains','other','en');
INSERT INTO "labels" VALUES(1214,321,'hill','hill','other','en');
INSERT INTO "labels" VALUES(1215,321,'hills','hills','other','en');
INSERT INTO "labels" VALUES(1216,321,'mountin','mountin','hidden','en');
INSERT INTO "labels" VALUES(1217,322,'river','river','preferred','en');
INSERT INTO "labels" VALUES(1218,322,'stream','stream','other','en');
INSERT INTO "labels" VALUES(1219,322,'canal','canal','other','en');
INSERT INTO "labels" VALUES(1220,323,'field','field','preferred','en');
INSERT INTO "labels" VALUES(1221,323,'meadow','meadow','other','en');
INSERT INTO "labels" VALUES(1222,323,'farmland','farmland','other','en');
INSERT INTO "labels" VALUES(1223,324,'forest','forest','preferred','en');
INSERT INTO "labels" VALUES(1224,324,'wood','wood','other','en');
INSERT INTO "labels" VALUES(1225,324,'woods','woods','other','en');
INSERT INTO "labels" VALUES(1226,324,'woodland','woodland','other','en');
INSERT INTO "labels" VALUES(1227,324,'forrest','forrest','hidden','en');
INSERT INTO "labels" VALUES(1228,325,'park','park','preferred','en');
INSERT INTO "labels" VALUES(1229,325,'garden','garden','other','en');
INSERT INTO "labels" VALUES(1230,325,'playground','playground','other','en');
INSERT INTO "labels" VALUES(1231,326,'city','city','preferred','en');
INSERT INTO "labels" VALUES(1232,326,'town','town','other','en');
INSERT INTO "labels" VALUES(1233,326,'cityscape','cityscape','other','en');
INSERT INTO "labels" VALUES(1234,326,'skyline','skyline','other','en');
INSERT INTO "labels" VALUES(1235,327,'village','village','preferred','en');
INSERT INTO "labels" VALUES(1236,327,'hamlet','hamlet','other','en');
INSERT INTO "labels" VALUES(1237,327,'vilage','vilage','hidden','en');
INSERT INTO "labels" VALUES(1238,328,'sky','sky','preferred','en');
INSERT INTO "labels" VALUES(1239,328,'skies','skies','other','en');
INSERT INTO "labels" VALUES(1240,328,'heaven','heaven','other','en');
INSERT INTO "labels" VALUES(1241,329,'weather','weather','preferred','en');
INSERT INTO "labels" VALUES(1242,329,'climate','climate','other','en');
INSERT INTO "labels" VALUES(1243,329,'wether','wether','hidden','en');
INSERT INTO "labels" VALUES(1244,330,'rain','rain','preferred','en');
INSERT INTO "labels" VALUES(1245,330,'rainy weather','rainy weather','other','en');
INSERT INTO "labels" VALUES(1246,330,'downpour','downpour','other','en');
INSERT INTO "labels" VALUES(1247,330,'drizzle','drizzle','other','en');
INSERT INTO "labels" VALUES(1248,330,'shower of rain','shower of rain','other','en');
INSERT INTO "labels" VALUES(1249,330,'rane','rane','hidden','en');
INSERT INTO "labels" VALUES(1250,331,'snow','snow','preferred','en');
INSERT INTO "labels" VALUES(1251,331,'snowfall','snowfall','other','en');
INSERT INTO "labels" VALUES(1252,331,'snowflakes','snowflakes','other','en');
INSERT INTO "labels" VALUES(1253,331,'snowy weather','snowy weather','other','en');
INSERT INTO "labels" VALUES(1254,332,'fog','fog','preferred','en');
INSERT INTO "labels" VALUES(1255,332,'mist','mist','other','en');
INSERT INTO "labels" VALUES(1256,332,'haze','haze','other','en');
INSERT INTO "labels" VALUES(1257,333,'wind','wind','preferred','en');
INSERT INTO "labels" VALUES(1258,333,'breeze','breeze','other','en');
INSERT INTO "labels" VALUES(1259,333,'gust','gust','other','en');
INSERT INTO "labels" VALUES(1260,333,'gale','gale','other','en');
INSERT INTO "labels" VALUES(1261,334,'storm','storm','preferred','en');
INSERT INTO "labels" VALUES(1262,334,'thunderstorm','thunderstorm','other','en');
INSERT INTO "labels" VALUES(1263,334,'tempest','tempest','other','en');
INSERT INTO "labels" VALUES(1264,334,'lightning','lightning','other','en');
INSERT INTO "labels" VALUES(1265,335,'cloud','cloud','preferred','en');
INSERT INTO "labels" VALUES(1266,335,'clouds','clouds','other','en');
INSERT INTO "labels" VALUES(1267,335,'overcast sky','overcast sky','other','en');
INSERT INTO "labels" VALUES(1268,335,'clowd','clowd','hidden','en');
INSERT INTO "labels" VALUES(1269,336,'sun','sun','preferred','en');
INSERT INTO "labels" VALUES(1270,336,'sunshine','sunshine','other','en');
INSERT INTO "labels" VALUES(1271,336,'sunlight','sunlight','other','en');
INSERT INTO "labels" VALUES(1272,336,'sunny weather','sunny weather','other','en');
INSERT INTO "labels" VALUES(1273,337,'moon','moon','preferred','en');
INSERT INTO "labels" VALUES(1274,337,'moonlight','moonlight','other','en');
INSERT INTO "labels" VALUES(1275,337,'full moon','full moon','other','en');
INSERT INTO "labels" VALUES(1276,338,'star','star','preferred','en');
INSERT INTO "labels" VALUES(1277,338,'stars','stars','other','en');
INSERT INTO "labels" VALUES(1278,338,'starry sky','starry sky','other','en');
INSERT INTO "labels" VALUES(1279,339,'dawn','dawn','preferred','en');
INSERT INTO "labels" VALUES(1280,339,'daybreak','daybreak','other','en');
INSERT INTO "labels" VALUES(1281,339,'sunrise','sunrise','other','en');
INSERT INTO "labels" VALUES(1282,339,'first light','first light','other','en');
INSERT INTO "labels" VALUES(1283,339,'early morning','early morning','other','en');
INSERT INTO "labels" VALUES(1284,340,'dusk','dusk','preferred','en');
INSERT INTO "labels" VALUES(1285,340,'sunset','sunset','other','en');
INSERT INTO "labels" VALUES(1286,340,'twilight','twilight','other','en');
INSERT INTO "labels" VALUES(1287,340,'nightfall','nightfall','other','en');
INSERT INTO "labels" VALUES(1288,340,'evening','evening','other','en');
INSERT INTO "labels" VALUES(1289,341,'puddle','puddle','preferred','en');
INSERT INTO "labels" VALUES(1290,341,'pool of rain','pool of rain','other','en');
INSERT INTO "labels" VALUES(1291,341,'wet ground','wet ground','other','en');
INSERT INTO "labels" VALUES(1292,341,'pudle','pudle','hidden','en');
INSERT INTO "labels" VALUES(1293,342,'smoke','smoke','preferred','en');
INSERT INTO "labels" VALUES(1294,342,'steam','steam','other','en');
INSERT INTO "labels" VALUES(1295,342,'vapour','vapour','other','en');
INSERT INTO "labels" VALUES(1296,342,'fumes','fumes','other','en');
INSERT INTO "labels" VALUES(1297,343,'fire','fire','preferred','en');
INSERT INTO "labels" VALUES(1298,343,'flame','flame','other','en');
INSERT INTO "labels" VALUES(1299,343,'flames','flames','other','en');
INSERT INTO "labels" VALUES(1300,343,'bonfire','bonfire','other','en');
INSERT INTO "labels" VALUES(1301,344,'arrow','arrow','preferred','en');
INSERT INTO "labels" VALUES(1302,344,'arrows','arrows','other','en');
INSERT INTO "labels" VALUES(1303,344,'direction arrow','direction arrow','other','en');
INSERT INTO "labels" VALUES(1304,344,'arow','arow','hidden','en');
INSERT INTO "labels" VALUES(1305,345,'camera move arrow','camera move arrow','preferred','en');
INSERT INTO "labels" VALUES(1306,345,'camera arrow','camera arrow','other','en');
INSERT INTO "labels" VALUES(1307,345,'move arrow','move arrow','other','en');
INSERT INTO "labels" VALUES(1308,345,'camera direction arrow','camera direction arrow','other','en');
INSERT INTO "labels" VALUES(1309,346,'actor move arrow','actor move arrow','preferred','en');
INSERT INTO "labels" VALUES(1310,346,'action arrow','action arrow','other','en');
INSERT INTO "labels" VALUES(1311,346,'walking arrow','walking arrow','other','en');
INSERT INTO "labels" VALUES(1312,346,'movement arrow','movement arrow','other','en');
INSERT INTO "labels" VALUES(1313,346,'figure arrow','figure arrow','other','en');
INSERT INTO "labels" VALUES(1314,347,'curved arrow','curved arrow','preferred','en');
INSERT INTO "labels" VALUES(1315,347,'bent arrow','bent arrow','other','en');
INSERT INTO "labels" VALUES(1316,347,'turning arrow','turning arrow','other','en');
INSERT INTO "labels" VALUES(1317,347,'circular arrow','circular arrow','other','en');
INSERT INTO "labels" VALUES(1318,348,'straight arrow','straight arrow','preferred','en');
INSERT INTO "labels" VALUES(1319,349,'double arrow','double arrow','preferred','en');
INSERT INTO "labels" VALUES(1320,349,'two-way arrow','two way arrow','other','en');
INSERT INTO "labels" VALUES(1321,349,'two-headed arrow','two headed arrow','other','en');
INSERT INTO "labels" VALUES(1322,350,'zoom arrow','zoom arrow','preferred','en');
INSERT INTO "labels" VALUES(1323,350,'zoom corners','zoom corners','other','en');
INSERT INTO "labels" VALUES(1324,350,'push arrow','push arrow','other','en');
INSERT INTO "labels" VALUES(1325,350,'corner arrows','corner arrows','other','en');
INSERT INTO "labels" VALUES(1326,351,'speed lines','speed lines','preferred','en');
INSERT INTO "labels" VALUES(1327,351,'motion lines','motion lines','other','en');
INSERT INTO "labels" VALUES(1328,351,'action lines','action lines','other','en');
INSERT INTO "labels" VALUES(1329,351,'movement lines','movement lines','other','en');
INSERT INTO "labels" VALUES(1330,351,'speedlines','speedlines','hidden','en');
INSERT INTO "labels" VALUES(1331,352,'frame outline','frame outline','preferred','en');
INSERT INTO "labels" VALUES(1332,352,'board frame','board frame','other','en');
INSERT INTO "labels" VALUES(1333,352,'empty frame','empty frame','other','en');
INSERT INTO "labels" VALUES(1334,352,'frame border','frame border','other','en');
INSERT INTO "labels" VALUES(1335,353,'speech bubble','speech bubble','preferred','en');
INSERT INTO "labels" VALUES(1336,353,'speech balloon','speech balloon','other','en');
INSERT INTO "labels" VALUES(1337,353,'dialogue bubble','dialogue bubble','other','en');
INSERT INTO "labels" VALUES(1338,353,'speach bubble','speach bubble','hidden','en');
INSERT INTO "labels" VALUES(1339,354,'thought bubble','thought bubble','preferred','en');
INSERT INTO "labels" VALUES(1340,354,'thought balloon','thought balloon','other','en');
INSERT INTO "labels" VALUES(1341,355,'impact star','impact star','preferred','en');
INSERT INTO "labels" VALUES(1342,355,'burst','burst','other','en');
INSERT INTO "labels" VALUES(1343,355,'bang','bang','other','en');
INSERT INTO "labels" VALUES(1344,355,'flash of impact','flash of impact','other','en');
INSERT INTO "labels" VALUES(1345,356,'lettering','lettering','preferred','en');
INSERT INTO "labels" VALUES(1346,356,'letters','letters','other','en');
INSERT INTO "labels" VALUES(1347,356,'writing','writing','other','en');
INSERT INTO "labels" VALUES(1348,356,'letering','letering','hidden','en');
INSERT INTO "labels" VALUES(1349,357,'mirror guard','mirror guard','preferred','en');
INSERT INTO "labels" VALUES(1350,357,'do not mirror mark','do not mirror mark','other','en');
INSERT INTO "labels" VALUES(1351,357,'not to be mirrored','not to be mirrored','other','en');
INSERT INTO "labels" VALUES(1352,358,'logo space','logo space','preferred','en');
INSERT INTO "labels" VALUES(1353,358,'space for a logo','space for a logo','other','en');
INSERT INTO "labels" VALUES(1354,358,'blank label','blank label','other','en');
INSERT INTO "labels" VALUES(1355,358,'end frame','end frame','other','en');
INSERT INTO "labels" VALUES(1356,359,'ground shadow','ground shadow','preferred','en');
INSERT INTO "labels" VALUES(1357,359,'cast shadow','cast shadow','other','en');
INSERT INTO "labels" VALUES(1358,359,'drop shadow','drop shadow','other','en');
INSERT INTO "labels" VALUES(1359,359,'shadow','shadow','other','en');
INSERT INTO "labels" VALUES(1360,360,'floor grid','floor grid','preferred','en');
INSERT INTO "labels" VALUES(1361,360,'perspective grid','perspective grid','other','en');
INSERT INTO "labels" VALUES(1362,360,'ground grid','ground grid','other','en');
INSERT INTO "labels" VALUES(1363,361,'tool','tool','preferred','en');
INSERT INTO "labels" VALUES(1364,361,'tools','tools','other','en');
INSERT INTO "labels" VALUES(1365,361,'hammer','hammer','other','en');
INSERT INTO "labels" VALUES(1366,361,'spanner','spanner','other','en');
INSERT INTO "labels" VALUES(1367,361,'screwdriver','screwdriver','other','en');
INSERT INTO "labels" VALUES(1368,362,'ladder','ladder','preferred','en');
INSERT INTO "labels" VALUES(1369,362,'step ladder','step ladder','other','en');
INSERT INTO "labels" VALUES(1370,362,'lader','lader','hidden','en');
INSERT INTO "labels" VALUES(1371,363,'trolley','trolley','preferred','en');
INSERT INTO "labels" VALUES(1372,363,'hand truck','hand truck','other','en');
INSERT INTO "labels" VALUES(1373,363,'sack truck','sack truck','other','en');
INSERT INTO "labels" VALUES(1374,363,'cart','cart','other','en');
INSERT INTO "labels" VALUES(1375,363,'bread trolley','bread trolley','other','en');
INSERT INTO "labels" VALUES(1376,364,'broom','broom','preferred','en');
INSERT INTO "labels" VALUES(1377,364,'sweeping brush','sweeping brush','other','en');
INSERT INTO "labels" VALUES(1378,364,'brush','brush','other','en');
INSERT INTO "labels" VALUES(1379,365,'bucket','bucket','preferred','en');
INSERT INTO "labels" VALUES(1380,365,'pail','pail','other','en');
INSERT INTO "labels" VALUES(1381,366,'balloon','balloon','preferred','en');
INSERT INTO "labels" VALUES(1382,366,'balloons','balloons','other','en');
INSERT INTO "labels" VALUES(1383,366,'party balloon','party balloon','other','en');
INSERT INTO "labels" VALUES(1384,367,'flag','flag','preferred','en');
INSERT INTO "labels" VALUES(1385,367,'banner','banner','other','en');
INSERT INTO "labels" VALUES(1386,367,'pennant','pennant','other','en');
INSERT INTO "labels" VALUES(1387,368,'gift','gift','preferred','en');
INSERT INTO "labels" VALUES(1388,368,'present','present','other','en');
INSERT INTO "labels" VALUES(1389,368,'gift box','gift box','other','en');
INSERT INTO "labels" VALUES(1390,369,'candle','candle','preferred','en');
INSERT INTO "labels" VALUES(1391,369,'candles','candles','other','en');
INSERT INTO "labels" VALUES(1392,369,'tealight','tealight','other','en');
INSERT INTO "labels" VALUES(1393,370,'guitar','guitar','preferred','en');
INSERT INTO "labels" VALUES(1394,370,'acoustic guitar','acoustic guitar','other','en');
INSERT INTO "labels" VALUES(1395,370,'guiter','guiter','hidden','en');
INSERT INTO "labels" VALUES(1396,371,'spade','spade','preferred','en');
INSERT INTO "labels" VALUES(1397,371,'shovel','shovel','other','en');
INSERT INTO "labels" VALUES(1398,372,'explosion','explosion','preferred','en');
INSERT INTO "labels" VALUES(1399,372,'blast','blast','other','en');
INSERT INTO "labels" VALUES(1400,373,'kiss','kiss','preferred','en');
INSERT INTO "labels" VALUES(1401,373,'kissing','kissing','other','en');
INSERT INTO "labels" VALUES(1402,374,'hug','hug','preferred','en');
INSERT INTO "labels" VALUES(1403,374,'embrace','embrace','other','en');
INSERT INTO "labels" VALUES(1404,374,'embracing','embracing','other','en');
INSERT INTO "labels" VALUES(1405,375,'conversation','conversation','preferred','en');
INSERT INTO "labels" VALUES(1406,375,'talking','talking','other','en');
INSERT INTO "labels" VALUES(1407,375,'chat','chat','other','en');
INSERT INTO "labels" VALUES(1408,375,'people talking','people talking','other','en');
INSERT INTO "labels" VALUES(1409,376,'phone call','phone call','preferred','en');
INSERT INTO "labels" VALUES(1410,376,'calling','calling','other','en');
INSERT INTO "labels" VALUES(1411,376,'on the phone','on the phone','other','en');
INSERT INTO "labels" VALUES(1412,376,'telephoning','telephoning','other','en');
INSERT INTO "labels" VALUES(1413,376,'talking on the phone','talking on the phone','other','en');
INSERT INTO "labels" VALUES(1414,377,'selfie','selfie','preferred','en');
INSERT INTO "labels" VALUES(1415,377,'taking a selfie','taking a selfie','other','en');
INSERT INTO "labels" VALUES(1416,377,'self-portrait by phone','self portrait by phone','other','en');
INSERT INTO "labels" VALUES(1417,377,'selfy','selfy','hidden','en');
INSERT INTO "labels" VALUES(1418,378,'video call','video call','preferred','en');
INSERT INTO "labels" VALUES(1419,378,'online meeting','online meeting','other','en');
INSERT INTO "labels" VALUES(1420,378,'conference call','conference call','other','en');
INSERT INTO "labels" VALUES(1421,379,'working','working','preferred','en');
INSERT INTO "labels" VALUES(1422,379,'at work','at work','other','en');
INSERT INTO "labels" VALUES(1423,379,'busy person','busy person','other','en');
INSERT INTO "labels" VALUES(1424,380,'reading','reading','preferred','en');
INSERT INTO "labels" VALUES(1425,380,'reader','reader','other','en');
INSERT INTO "labels" VALUES(1426,380,'person reading','person reading','other','en');
INSERT INTO "labels" VALUES(1427,381,'sleeping','sleeping','preferred','en');
INSERT INTO "labels" VALUES(1428,381,'asleep','asleep','other','en');
INSERT INTO "labels" VALUES(1429,381,'sleeper','sleeper','other','en');
INSERT INTO "labels" VALUES(1430,381,'snoozing','snoozing','other','en');
INSERT INTO "labels" VALUES(1431,381,'napping','napping','other','en');
INSERT INTO "labels" VALUES(1432,381,'sleaping','sleaping','hidden','en');
INSERT INTO "labels" VALUES(1433,382,'eating','eating','preferred','en');
INSERT INTO "labels" VALUES(1434,382,'meal time','meal time','other','en');
INSERT INTO "labels" VALUES(1435,382,'person eating','person eating','other','en');
INSERT INTO "labels" VALUES(1436,383,'drinking','drinking','preferred','en');
INSERT INTO "labels" VALUES(1437,383,'person drinking','person drinking','other','en');
INSERT INTO "labels" VALUES(1438,384,'cooking','cooking','preferred','en');
INSERT INTO "labels" VALUES(1439,384,'preparing food','preparing food','other','en');
INSERT INTO "labels" VALUES(1440,385,'baking','baking','preferred','en');
INSERT INTO "labels" VALUES(1441,385,'bread baking','bread baking','other','en');
INSERT INTO "labels" VALUES(1442,385,'making bread','making bread','other','en');
INSERT INTO "labels" VALUES(1443,386,'shopping','shopping','preferred','en');
INSERT INTO "labels" VALUES(1444,386,'buying','buying','other','en');
INSERT INTO "labels" VALUES(1445,386,'person shopping','person shopping','other','en');
INSERT INTO "labels" VALUES(1446,387,'cycling','cycling','preferred','en');
INSERT INTO "labels" VALUES(1447,387,'riding a bike','riding a bike','other','en');
INSERT INTO "labels" VALUES(1448,387,'biking','biking','other','en');
INSERT INTO "labels" VALUES(1449,388,'jumping','jumping','preferred','en');
INSERT INTO "labels" VALUES(1450,388,'leaping','leaping','other','en');
INSERT INTO "labels" VALUES(1451,388,'jump','jump','other','en');
INSERT INTO "labels" VALUES(1452,389,'dancing','dancing','preferred','en');
INSERT INTO "labels" VALUES(1453,389,'dancer','dancer','other','en');
INSERT INTO "labels" VALUES(1454,389,'dance','dance','other','en');
INSERT INTO "labels" VALUES(1455,390,'falling','falling','preferred','en');
INSERT INTO "labels" VALUES(1456,390,'person falling','person falling','other','en');
INSERT INTO "labels" VALUES(1457,390,'stumbling','stumbling','other','en');
INSERT INTO "labels" VALUES(1458,390,'tripping','tripping','other','en');
INSERT INTO "labels" VALUES(1459,391,'climbing','climbing','preferred','en');
INSERT INTO "labels" VALUES(1460,391,'climber','climber','other','en');
INSERT INTO "labels" VALUES(1461,392,'carrying','carrying','preferred','en');
INSERT INTO "labels" VALUES(1462,392,'person carrying','person carrying','other','en');
INSERT INTO "labels" VALUES(1463,392,'lugging','lugging','other','en');
INSERT INTO "labels" VALUES(1464,393,'kneeling','kneeling','preferred','en');
INSERT INTO "labels" VALUES(1465,393,'on one''s knees','on ones knees','other','en');
INSERT INTO "labels" VALUES(1466,393,'crouching','crouching','other','en');
INSERT INTO "labels" VALUES(1467,393,'squatting','squatting','other','en');
INSERT INTO "labels" VALUES(1468,394,'shot size (facet)','shot size (facet)','preferred','en');
INSERT INTO "labels" VALUES(1469,395,'extreme close-up','extreme close up','preferred','en');
INSERT INTO "labels" VALUES(1470,395,'BCU','bcu','other','en');
INSERT INTO "labels" VALUES(1471,395,'XCU','xcu','other','en');
INSERT INTO "labels" VALUES(1472,395,'big close-up','big close up','other','en');
INSERT INTO "labels" VALUES(1473,396,'close-up','close up','preferred','en');
INSERT INTO "labels" VALUES(1474,396,'close shot','close shot','other','en');
INSERT INTO "labels" VALUES(1475,396,'tight shot','tight shot','other','en');
INSERT INTO "labels" VALUES(1476,397,'medium close-up','medium close up','preferred','en');
INSERT INTO "labels" VALUES(1477,397,'head and shoulders shot','head and shoulders shot','other','en');
INSERT INTO "labels" VALUES(1478,398,'medium shot','medium shot','preferred','en');
INSERT INTO "labels" VALUES(1479,398,'mid shot','mid shot','other','en');
INSERT INTO "labels" VALUES(1480,398,'waist shot','waist shot','other','en');
INSERT INTO "labels" VALUES(1481,399,'medium wide shot','medium wide shot','preferred','en');
INSERT INTO "labels" VALUES(1482,399,'MLS','mls','other','en');
INSERT INTO "labels" VALUES(1483,399,'medium long shot','medium long shot','other','en');
INSERT INTO "labels" VALUES(1484,400,'full shot','full shot','preferred','en');
INSERT INTO "labels" VALUES(1485,400,'full figure','full figure','other','en');
INSERT INTO "labels" VALUES(1486,401,'wide shot','wide shot','preferred','en');
INSERT INTO "labels" VALUES(1487,401,'LS','ls','other','en');
INSERT INTO "labels" VALUES(1488,401,'long shot','long shot','other','en');
INSERT INTO "labels" VALUES(1489,402,'extreme wide shot','extreme wide shot','preferred','en');
INSERT INTO "labels" VALUES(1490,402,'ELS','els','other','en');
INSERT INTO "labels" VALUES(1491,402,'extreme long shot','extreme long shot','other','en');
INSERT INTO "labels" VALUES(1492,403,'product shot','product shot','preferred','en');
INSERT INTO "labels" VALUES(1493,403,'pack shot','pack shot','other','en');
INSERT INTO "labels" VALUES(1494,404,'shot type (facet)','shot type (facet)','preferred','en');
INSERT INTO "labels" VALUES(1495,405,'single','single','preferred','en');
INSERT INTO "labels" VALUES(1496,405,'clean single','clean single','other','en');
INSERT INTO "labels" VALUES(1497,406,'two-shot','two shot','preferred','en');
INSERT INTO "labels" VALUES(1498,406,'2-shot','2 shot','other','en');
INSERT INTO "labels" VALUES(1499,407,'three-shot','three shot','preferred','en');
INSERT INTO "labels" VALUES(1500,407,'3-shot','3 shot','other','en');
INSERT INTO "labels" VALUES(1501,408,'group shot','group shot','preferred','en');
INSERT INTO "labels" VALUES(1502,409,'over the shoulder','over the shoulder','preferred','en');
INSERT INTO "labels" VALUES(1503,409,'OTS','ots','other','en');
INSERT INTO "labels" VALUES(1504,409,'O/S','o s','other','en');
INSERT INTO "labels" VALUES(1505,409,'over-shoulder','over shoulder','other','en');
INSERT INTO "labels" VALUES(1506,410,'point of view','point of view','preferred','en');
INSERT INTO "labels" VALUES(1507,410,'POV','pov','other','en');
INSERT INTO "labels" VALUES(1508,410,'subjective shot','subjective shot','other','en');
INSERT INTO "labels" VALUES(1509,411,'reverse shot','reverse shot','preferred','en');
INSERT INTO "labels" VALUES(1510,411,'reverse angle','reverse angle','other','en');
INSERT INTO "labels" VALUES(1511,412,'insert','insert','preferred','en');
INSERT INTO "labels" VALUES(1512,412,'insert shot','insert shot','other','en');
INSERT INTO "labels" VALUES(1513,413,'cutaway','cutaway','preferred','en');
INSERT INTO "labels" VALUES(1514,413,'cutaway shot','cutaway shot','other','en');
INSERT INTO "labels" VALUES(1515,414,'establishing shot','establishing shot','preferred','en');
INSERT INTO "labels" VALUES(1516,414,'establisher','establisher','other','en');
INSERT INTO "labels" VALUES(1517,415,'camera angle (facet)','camera angle (facet)','preferred','en');
INSERT INTO "labels" VALUES(1518,416,'eye level','eye level','preferred','en');
INSERT INTO "labels" VALUES(1519,416,'eye-level shot','eye level shot','other','en');
INSERT INTO "labels" VALUES(1520,417,'low angle','low angle','preferred','en');
INSERT INTO "labels" VALUES(1521,417,'low shot','low shot','other','en');
INSERT INTO "labels" VALUES(1522,418,'high angle','high angle','preferred','en');
INSERT INTO "labels" VALUES(1523,418,'high shot','high shot','other','en');
INSERT INTO "labels" VALUES(1524,419,'overhead','overhead','preferred','en');
INSERT INTO "labels" VALUES(1525,419,'bird''s eye','birds eye','other','en');
INSERT INTO "labels" VALUES(1526,419,'top shot','top shot','other','en');
INSERT INTO "labels" VALUES(1527,419,'bird''s-eye view','birds eye view','other','en');
INSERT INTO "labels" VALUES(1528,420,'worm''s eye','worms eye','preferred','en');
INSERT INTO "labels" VALUES(1529,420,'worm''s-eye view','worms eye view','other','en');
INSERT INTO "labels" VALUES(1530,421,'dutch angle','dutch angle','preferred','en');
INSERT INTO "labels" VALUES(1531,421,'dutch tilt','dutch tilt','other','en');
INSERT INTO "labels" VALUES(1532,421,'canted angle','canted angle','other','en');
INSERT INTO "labels" VALUES(1533,422,'camera position (facet)','camera position (facet)','preferred','en');
INSERT INTO "labels" VALUES(1534,423,'hood mount','hood mount','preferred','en');
INSERT INTO "labels" VALUES(1535,423,'bonnet mount','bonnet mount','other','en');
INSERT INTO "labels" VALUES(1536,424,'side mount','side mount','preferred','en');
INSERT INTO "labels" VALUES(1537,424,'door mount','door mount','other','en');
INSERT INTO "labels" VALUES(1538,424,'hostess tray','hostess tray','other','en');
INSERT INTO "labels" VALUES(1539,425,'dash position','dash position','preferred','en');
INSERT INTO "labels" VALUES(1540,425,'dash mount','dash mount','other','en');
INSERT INTO "labels" VALUES(1541,425,'dash cam','dash cam','other','en');
INSERT INTO "labels" VALUES(1542,426,'driver''s seat position','drivers seat position','preferred','en');
INSERT INTO "labels" VALUES(1543,426,'from the driver''s seat','from the drivers seat','other','en');
INSERT INTO "labels" VALUES(1544,427,'front passenger','front passenger','preferred','en');
INSERT INTO "labels" VALUES(1545,427,'from the passenger seat','from the passenger seat','other','en');
INSERT INTO "labels" VALUES(1546,428,'back seat position','back seat position','preferred','en');
INSERT INTO "labels" VALUES(1547,428,'from the back seat','from the back seat','other','en');
INSERT INTO "labels" VALUES(1548,429,'camera move (facet)','camera move (facet)','preferred','en');
INSERT INTO "labels" VALUES(1549,430,'static shot','static shot','preferred','en');
INSERT INTO "labels" VALUES(1550,430,'locked off','locked off','other','en');
INSERT INTO "labels" VALUES(1551,430,'lock-off','lock off','other','en');
INSERT INTO "labels" VALUES(1552,431,'pan move','pan move','preferred','en');
INSERT INTO "labels" VALUES(1553,431,'whip pan','whip pan','other','en');
INSERT INTO "labels" VALUES(1554,431,'panning shot','panning shot','other','en');
INSERT INTO "labels" VALUES(1555,432,'tilt move','tilt move','preferred','en');
INSERT INTO "labels" VALUES(1556,432,'tilt up','tilt up','other','en');
INSERT INTO "labels" VALUES(1557,432,'tilt down','tilt down','other','en');
INSERT INTO "labels" VALUES(1558,433,'dolly move','dolly move','preferred','en');
INSERT INTO "labels" VALUES(1559,433,'tracking shot','tracking shot','other','en');
INSERT INTO "labels" VALUES(1560,433,'track','track','other','en');
INSERT INTO "labels" VALUES(1561,433,'truck move','truck move','other','en');
INSERT INTO "labels" VALUES(1562,434,'push in','push in','preferred','en');
INSERT INTO "labels" VALUES(1563,434,'dolly in','dolly in','other','en');
INSERT INTO "labels" VALUES(1564,434,'push-in move','push in move','other','en');
INSERT INTO "labels" VALUES(1565,435,'pull out','pull out','preferred','en');
INSERT INTO "labels" VALUES(1566,435,'pull back','pull back','other','en');
INSERT INTO "labels" VALUES(1567,435,'dolly out','dolly out','other','en');
INSERT INTO "labels" VALUES(1568,436,'crane move','crane move','preferred','en');
INSERT INTO "labels" VALUES(1569,436,'boom move','boom move','other','en');
INSERT INTO "labels" VALUES(1570,436,'jib move','jib move','other','en');
INSERT INTO "labels" VALUES(1571,436,'crane shot','crane shot','other','en');
INSERT INTO "labels" VALUES(1572,437,'zoom move','zoom move','preferred','en');
INSERT INTO "labels" VALUES(1573,437,'zoom in','zoom in','other','en');
INSERT INTO "labels" VALUES(1574,437,'zoom out','zoom out','other','en');
INSERT INTO "labels" VALUES(1575,437,'crash zoom','crash zoom','other','en');
INSERT INTO "labels" VALUES(1576,438,'handheld','handheld','preferred','en');
INSERT INTO "labels" VALUES(1577,438,'H/H','h h','other','en');
INSERT INTO "labels" VALUES(1578,438,'hand-held camera','hand held camera','other','en');
INSERT INTO "labels" VALUES(1579,439,'setting (facet)','setting (facet)','preferred','en');
INSERT INTO "labels" VALUES(1580,440,'interior','interior','preferred','en');
INSERT INTO "labels" VALUES(1581,440,'INT','int','other','en');
INSERT INTO "labels" VALUES(1582,440,'indoors','indoors','other','en');
INSERT INTO "labels" VALUES(1583,441,'exterior','exterior','preferred','en');
INSERT INTO "labels" VALUES(1584,441,'EXT','ext','other','en');
INSERT INTO "labels" VALUES(1585,441,'outdoors','outdoors','other','en');
INSERT INTO "labels" VALUES(1586,442,'time (facet)','time (facet)','preferred','en');
INSERT INTO "labels" VALUES(1587,443,'day','day','preferred','en');
INSERT INTO "labels" VALUES(1588,443,'daytime','daytime','other','en');
INSERT INTO "labels" VALUES(1589,443,'daylight','daylight','other','en');
INSERT INTO "labels" VALUES(1590,444,'night','night','preferred','en');
INSERT INTO "labels" VALUES(1591,444,'night-time','night time','other','en');
INSERT INTO "labels" VALUES(1592,444,'at night','at night','other','en');
INSERT INTO "labels" VALUES(1593,445,'screen direction (facet)','screen direction (facet)','preferred','en');
INSERT INTO "labels" VALUES(1594,446,'left to right','left to right','preferred','en');
INSERT INTO "labels" VALUES(1595,446,'L-R','l r','other','en');
INSERT INTO "labels" VALUES(1596,446,'screen left to screen right','screen left to screen right','other','en');
INSERT INTO "labels" VALUES(1597,447,'right to left','right to left','preferred','en');
INSERT INTO "labels" VALUES(1598,447,'R-L','r l','other','en');
INSERT INTO "labels" VALUES(1599,447,'screen right to screen left','screen right to screen left','other','en');
INSERT INTO "labels" VALUES(1600,448,'toward camera','toward camera','preferred','en');
INSERT INTO "labels" VALUES(1601,448,'towards camera','towards camera','other','en');
INSERT INTO "labels" VALUES(1602,448,'approaching camera','approaching camera','other','en');
INSERT INTO "labels" VALUES(1603,449,'away from camera','away from camera','preferred','en');
INSERT INTO "labels" VALUES(1604,449,'away from us','away from us','other','en');
INSERT INTO "labels" VALUES(1605,450,'view (facet)','view (facet)','preferred','en');
INSERT INTO "labels" VALUES(1606,451,'front view','front view','preferred','en');
INSERT INTO "labels" VALUES(1607,451,'frontal','frontal','other','en');
INSERT INTO "labels" VALUES(1608,451,'head-on','head on','other','en');
INSERT INTO "labels" VALUES(1609,452,'three-quarter front','three quarter front','preferred','en');
INSERT INTO "labels" VALUES(1610,452,'3/4 front','3 4 front','other','en');
INSERT INTO "labels" VALUES(1611,452,'three-quarter view','three quarter view','other','en');
INSERT INTO "labels" VALUES(1612,453,'profile','profile','preferred','en');
INSERT INTO "labels" VALUES(1613,453,'side view','side view','other','en');
INSERT INTO "labels" VALUES(1614,453,'side-on','side on','other','en');
INSERT INTO "labels" VALUES(1615,454,'three-quarter back','three quarter back','preferred','en');
INSERT INTO "labels" VALUES(1616,454,'3/4 back','3 4 back','other','en');
INSERT INTO "labels" VALUES(1617,454,'three-quarter rear','three quarter rear','other','en');
INSERT INTO "labels" VALUES(1618,455,'back view','back view','preferred','en');
INSERT INTO "labels" VALUES(1619,455,'rear view','rear view','other','en');
INSERT INTO "labels" VALUES(1620,455,'from behind','from behind','other','en');
INSERT INTO "labels" VALUES(1621,456,'from above','from above','preferred','en');
INSERT INTO "labels" VALUES(1622,456,'top view','top view','other','en');
INSERT INTO "labels" VALUES(1623,456,'seen from above','seen from above','other','en');
INSERT INTO "labels" VALUES(1624,457,'from below','from below','preferred','en');
INSERT INTO "labels" VALUES(1625,457,'seen from below','seen from below','other','en');
INSERT INTO "labels" VALUES(1626,458,'pose (facet)','pose (facet)','preferred','en');
INSERT INTO "labels" VALUES(1627,459,'standing','standing','preferred','en');
INSERT INTO "labels" VALUES(1628,459,'stands','stands','other','en');
INSERT INTO "labels" VALUES(1629,459,'upright','upright','other','en');
INSERT INTO "labels" VALUES(1630,460,'seated','seated','preferred','en');
INSERT INTO "labels" VALUES(1631,460,'sitting','sitting','other','en');
INSERT INTO "labels" VALUES(1632,460,'sits','sits','other','en');
INSERT INTO "labels" VALUES(1633,461,'driving','driving','preferred','en');
INSERT INTO "labels" VALUES(1634,461,'at the wheel','at the wheel','other','en');
INSERT INTO "labels" VALUES(1635,462,'walking','walking','preferred','en');
INSERT INTO "labels" VALUES(1636,462,'walks','walks','other','en');
INSERT INTO "labels" VALUES(1637,462,'strolling','strolling','other','en');
INSERT INTO "labels" VALUES(1638,463,'running','running','preferred','en');
INSERT INTO "labels" VALUES(1639,463,'runs','runs','other','en');
INSERT INTO "labels" VALUES(1640,463,'jogging','jogging','other','en');
INSERT INTO "labels" VALUES(1641,463,'sprinting','sprinting','other','en');
INSERT INTO "labels" VALUES(1642,464,'leaning','leaning','preferred','en');
INSERT INTO "labels" VALUES(1643,464,'leans','leans','other','en');
INSERT INTO "labels" VALUES(1644,465,'lying','lying','preferred','en');
INSERT INTO "labels" VALUES(1645,465,'lying down','lying down','other','en');
INSERT INTO "labels" VALUES(1646,465,'lies','lies','other','en');
INSERT INTO "labels" VALUES(1647,466,'age group (facet)','age group (facet)','preferred','en');
INSERT INTO "labels" VALUES(1648,467,'baby (age group)','baby (age group)','preferred','en');
INSERT INTO "labels" VALUES(1649,468,'child (age group)','child (age group)','preferred','en');
INSERT INTO "labels" VALUES(1650,469,'teenager (age group)','teenager (age group)','preferred','en');
INSERT INTO "labels" VALUES(1651,470,'adult','adult','preferred','en');
INSERT INTO "labels" VALUES(1652,470,'grown-up','grown up','other','en');
INSERT INTO "labels" VALUES(1653,471,'elderly','elderly','preferred','en');
INSERT INTO "labels" VALUES(1654,471,'aged','aged','other','en');
INSERT INTO "labels" VALUES(1655,471,'old age','old age','other','en');
INSERT INTO "labels" VALUES(1656,472,'hand (facet)','hand (facet)','preferred','en');
INSERT INTO "labels" VALUES(1657,473,'left hand','left hand','preferred','en');
INSERT INTO "labels" VALUES(1658,474,'right hand','right hand','preferred','en');
INSERT INTO "labels" VALUES(1659,475,'both hands','both hands','preferred','en');
INSERT INTO "labels" VALUES(1660,475,'two hands','two hands','other','en');
INSERT INTO "labels" VALUES(1661,475,'pair of hands','pair of hands','other','en');
INSERT INTO "labels" VALUES(1662,476,'mirror (facet)','mirror (facet)','preferred','en');
INSERT INTO "labels" VALUES(1663,477,'do not mirror','do not mirror','preferred','en');
INSERT INTO "labels" VALUES(1664,477,'do not flip','do not flip','other','en');
INSERT INTO "labels" VALUES(1665,477,'no flop','no flop','other','en');
INSERT INTO "labels" VALUES(1666,478,'finish (facet)','finish (facet)','preferred','en');
INSERT INTO "labels" VALUES(1667,479,'rough','rough','preferred','en');
INSERT INTO "labels" VALUES(1668,479,'rough sketch','rough sketch','other','en');
INSERT INTO "labels" VALUES(1669,479,'loose sketch','loose sketch','other','en');
INSERT INTO "labels" VALUES(1670,480,'clean line','clean line','preferred','en');
INSERT INTO "labels" VALUES(1671,480,'line art','line art','other','en');
INSERT INTO "labels" VALUES(1672,480,'line drawing','line drawing','other','en');
INSERT INTO "labels" VALUES(1673,481,'tone','tone','preferred','en');
INSERT INTO "labels" VALUES(1674,481,'grey tone','grey tone','other','en');
INSERT INTO "labels" VALUES(1675,481,'toned drawing','toned drawing','other','en');
INSERT INTO "labels" VALUES(1676,482,'colour','colour','preferred','en');
INSERT INTO "labels" VALUES(1677,482,'color','color','other','en');
INSERT INTO "labels" VALUES(1678,482,'full colour','full colour','other','en');
INSERT INTO "labels" VALUES(1679,483,'perspective (facet)','perspective (facet)','preferred','en');
INSERT INTO "labels" VALUES(1680,484,'flat perspective','flat perspective','preferred','en');
INSERT INTO "labels" VALUES(1681,484,'elevation view','elevation view','other','en');
INSERT INTO "labels" VALUES(1682,485,'one-point perspective','one point perspective','preferred','en');
INSERT INTO "labels" VALUES(1683,485,'1-point perspective','1 point perspective','other','en');
INSERT INTO "labels" VALUES(1684,486,'two-point perspective','two point perspective','preferred','en');
INSERT INTO "labels" VALUES(1685,486,'2-point perspective','2 point perspective','other','en');
INSERT INTO "labels" VALUES(1686,487,'three-point perspective','three point perspective','preferred','en');
INSERT INTO "labels" VALUES(1687,487,'3-point perspective','3 point perspective','other','en');
CREATE TABLE opening_choices (
	id INTEGER NOT NULL, 
	version_id INTEGER NOT NULL, 
	x INTEGER NOT NULL, 
	y INTEGER NOT NULL, 
	is_open BOOLEAN NOT NULL, 
	CONSTRAINT pk_opening_choices PRIMARY KEY (id), 
	CONSTRAINT fk_opening_choices_version_id FOREIGN KEY(version_id) REFERENCES versions (id), 
	CONSTRAINT uq_opening_choices_version_id_x_y UNIQUE (version_id, x, y)
);
CREATE TABLE origin_answers (
	id INTEGER NOT NULL, 
	version_id INTEGER NOT NULL, 
	question TEXT NOT NULL, 
	value TEXT NOT NULL, 
	whose TEXT, 
	reference_id INTEGER, 
	evidence TEXT NOT NULL, 
	note TEXT, 
	answered_at TEXT NOT NULL, 
	CONSTRAINT pk_origin_answers PRIMARY KEY (id), 
	CONSTRAINT fk_origin_answers_reference_id FOREIGN KEY(reference_id) REFERENCES entries (id), 
	CONSTRAINT fk_origin_answers_version_id FOREIGN KEY(version_id) REFERENCES versions (id), 
	CONSTRAINT uq_origin_answers_version_id_question_value UNIQUE (version_id, question, value)
);
INSERT INTO "origin_answers" VALUES(1,1,'origin','out-of-the-head',NULL,NULL,'[]',NULL,'2026-11-25T13:39:35.620702Z');
INSERT INTO "origin_answers" VALUES(2,1,'ownership','own',NULL,NULL,'[]',NULL,'2026-11-25T13:39:35.620763Z');
INSERT INTO "origin_answers" VALUES(3,1,'depicts','none',NULL,NULL,'[]',NULL,'2026-11-25T13:39:35.620782Z');
INSERT INTO "origin_answers" VALUES(4,1,'ai','none',NULL,NULL,'[]',NULL,'2026-11-25T13:39:35.620797Z');
CREATE TABLE originals (
	id INTEGER NOT NULL, 
	sha256 TEXT NOT NULL, 
	bytes INTEGER NOT NULL, 
	format TEXT NOT NULL, 
	media_type TEXT NOT NULL, 
	width INTEGER NOT NULL, 
	height INTEGER NOT NULL, 
	pages INTEGER NOT NULL, 
	bits INTEGER NOT NULL, 
	mode TEXT NOT NULL, 
	has_alpha BOOLEAN NOT NULL, 
	x_dpi DOUBLE, 
	y_dpi DOUBLE, 
	orientation INTEGER NOT NULL, 
	icc TEXT, 
	ground TEXT NOT NULL, 
	pixel_sha256 TEXT NOT NULL, 
	words TEXT NOT NULL, 
	layers TEXT NOT NULL, 
	note TEXT, 
	created_at TEXT NOT NULL, 
	CONSTRAINT pk_originals PRIMARY KEY (id), 
	CONSTRAINT uq_originals_sha256 UNIQUE (sha256)
);
INSERT INTO "originals" VALUES(1,'130a29b2799d276df4f475fc885bddec4e615fee20196ce35a5f9960c1095963',1419,'PNG','image/png',260,260,1,8,'L',0,NULL,NULL,1,NULL,'white paper','165f2b09a107b63a6f22b7b63a8b9324767e94d14ed7f639cf354a6fcdca7d85','{"creator":"","description":"","keywords":[],"licence":"","title":""}','[]',NULL,'2026-11-25T13:39:30.819327Z');
INSERT INTO "originals" VALUES(2,'bbf5f1e7bf9171313023d0970aaafacafb1140e7dc0c961a651ef060c8fb7906',1847,'PNG','image/png',600,260,1,8,'L',0,NULL,NULL,1,NULL,'white paper','ad15f1f2da66ca1ed8a96aeb5f63d290d93018deb5020b313730e33393a2379e','{"creator":"","description":"","keywords":[],"licence":"","title":""}','[]',NULL,'2026-11-25T13:39:33.784195Z');
CREATE TABLE pair_decisions (
	id INTEGER NOT NULL, 
	a_id INTEGER NOT NULL, 
	b_id INTEGER NOT NULL, 
	verdict TEXT NOT NULL, 
	decided_at TEXT NOT NULL, 
	CONSTRAINT pk_pair_decisions PRIMARY KEY (id), 
	CONSTRAINT ck_pair_decisions_verdict CHECK (verdict IN ('merged', 'family', 'different')), 
	CONSTRAINT fk_pair_decisions_a_id FOREIGN KEY(a_id) REFERENCES versions (id), 
	CONSTRAINT fk_pair_decisions_b_id FOREIGN KEY(b_id) REFERENCES versions (id), 
	CONSTRAINT uq_pair_decisions_a_id_b_id UNIQUE (a_id, b_id)
);
CREATE TABLE pair_findings (
	id INTEGER NOT NULL, 
	a_id INTEGER NOT NULL, 
	b_id INTEGER NOT NULL, 
	recipe_id INTEGER NOT NULL, 
	kind TEXT NOT NULL, 
	how TEXT NOT NULL, 
	score DOUBLE NOT NULL, 
	box TEXT, 
	found_at TEXT NOT NULL, 
	CONSTRAINT pk_pair_findings PRIMARY KEY (id), 
	CONSTRAINT ck_pair_findings_not_itself CHECK (a_id <> b_id), 
	CONSTRAINT fk_pair_findings_a_id FOREIGN KEY(a_id) REFERENCES versions (id) ON DELETE CASCADE, 
	CONSTRAINT fk_pair_findings_b_id FOREIGN KEY(b_id) REFERENCES versions (id) ON DELETE CASCADE, 
	CONSTRAINT fk_pair_findings_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipes (id), 
	CONSTRAINT uq_pair_findings_a_id_b_id_recipe_id UNIQUE (a_id, b_id, recipe_id)
);
CREATE TABLE pieces (
	id INTEGER NOT NULL, 
	version_id INTEGER NOT NULL, 
	ordinal INTEGER NOT NULL, 
	original_id INTEGER NOT NULL, 
	page INTEGER NOT NULL, 
	layer TEXT, 
	resolution DOUBLE, 
	x INTEGER NOT NULL, 
	y INTEGER NOT NULL, 
	w INTEGER NOT NULL, 
	h INTEGER NOT NULL, 
	mask BLOB, 
	reading_order INTEGER, 
	CONSTRAINT pk_pieces PRIMARY KEY (id), 
	CONSTRAINT fk_pieces_original_id FOREIGN KEY(original_id) REFERENCES originals (id), 
	CONSTRAINT fk_pieces_version_id FOREIGN KEY(version_id) REFERENCES versions (id), 
	CONSTRAINT uq_pieces_version_id_ordinal UNIQUE (version_id, ordinal)
);
INSERT INTO "pieces" VALUES(1,1,0,1,0,NULL,NULL,0,0,260,260,NULL,NULL);
INSERT INTO "pieces" VALUES(2,2,0,2,0,NULL,NULL,0,0,600,260,NULL,NULL);
INSERT INTO "pieces" VALUES(3,3,0,2,0,NULL,NULL,30,40,191,181,X'89504E470D0A1A0A0000000D49484452000000BF000000B50100000000260A13CD000002424944415478DAED983B72DB3014452F9F38098A8CCDD25D38598177102C253B8996E2A570095E02CB942C52D033145F0A82203E9790CCD1D84DD068740FDE17104500F0E3A47A061927554E7EABAA4EB9FE555555B5CBC0CF058CEBF76AFD9C1341DCE7C33AB34FC0F30A9E624BEFC92BCEE2CB96459CD777F563882C7E6D73BE851E8310AB24698835C8024C08DA003C87E029003604F516298AED3409FBE2C6B65A8F1A8DDE4F6E628BC6833606C6031B837ACD20496A11254F6A494B7C45C1B00E9814B40E3429681C6853601CB029A85D669A021540B6BD97D521F90E3F0342CA002C9DEEF795C9D51610521FD00042EA030C20A43EA02E04AF48E1800A84140E54C53A283A435847005B726598DC962C1A263710D62AC0945C5926D7A5262A9355F663543B8E4ABB6407EC90F3BE45CD757B20B8E17A7BC055C3F5E680AB5DD072DDDC33C62EB05CAF3F24F8EEDE55AEEBA766F51FDC019CF8830CF3E7A6DB717DFA90E03DD7C77BC618B83E1C703572BD3FE06AE27AB7FF64C85EE09C7E20387FC868A9BBF4CC31972CE8C69A4A1674378C10D0251C4AAEE84AF5250BBA201D2AD0BE175F0D94361702D6C5B9BCA93BD6430858B34640C09A350002D693BE1C7C621D4105D693E55D5459E11090D267073A521F04A4C2D18181D40701A9B077602265944F45E951FAE27F515D9EED02FA3CDB050C79B60BF81B8397EB27C838AD4BF03BEFB2A4D8D9B20F2CC6B45357CFCE61F4CB6DE7F33FDB9CD7DBEE00D4FF4DBE256BF3185771C3CDC4EAEBEDEAEDC769ABCB02B8FC78C70D4B7227F30FB441CE630078F78B0000000049454E44AE426082',1);
INSERT INTO "pieces" VALUES(4,4,0,2,0,NULL,NULL,360,40,201,181,X'89504E470D0A1A0A0000000D49484452000000C9000000B50100000000DD5DE6120000002A4944415478DAEDC94111000004003034979C0402B8DBBECB8943579C94524A29A594524A29A5947A5D0B293702EAB3A9BE740000000049454E44AE426082',2);
CREATE TABLE recipes (
	id INTEGER NOT NULL, 
	kind TEXT NOT NULL, 
	name TEXT NOT NULL, 
	details TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_recipes PRIMARY KEY (id), 
	CONSTRAINT uq_recipes_kind_name UNIQUE (kind, name)
);
INSERT INTO "recipes" VALUES(1,'proof','proof-1','{"side":512}','2026-11-25T13:39:30.885462Z');
INSERT INTO "recipes" VALUES(2,'clean copy','clean-1','{}','2026-11-25T13:39:35.807609Z');
CREATE TABLE relations (
	id INTEGER NOT NULL, 
	concept_id INTEGER NOT NULL, 
	other_id INTEGER NOT NULL, 
	kind TEXT NOT NULL, 
	CONSTRAINT pk_relations PRIMARY KEY (id), 
	CONSTRAINT ck_relations_kind CHECK (kind IN ('broader', 'related')), 
	CONSTRAINT fk_relations_concept_id FOREIGN KEY(concept_id) REFERENCES concepts (id), 
	CONSTRAINT fk_relations_other_id FOREIGN KEY(other_id) REFERENCES concepts (id), 
	CONSTRAINT uq_relations_concept_id_other_id_kind UNIQUE (concept_id, other_id, kind)
);
CREATE TABLE releases (
	id INTEGER NOT NULL, 
	kind TEXT NOT NULL, 
	sha256 TEXT, 
	holder TEXT NOT NULL, 
	first_day DATE, 
	last_day DATE, 
	note TEXT, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_releases PRIMARY KEY (id), 
	CONSTRAINT fk_releases_id FOREIGN KEY(id) REFERENCES codes (id)
);
CREATE TABLE steps (
	id INTEGER NOT NULL, 
	what TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	undone_at TEXT, 
	CONSTRAINT pk_steps PRIMARY KEY (id)
);
INSERT INTO "steps" VALUES(1,'intake from drawings','2026-11-25T13:39:30.737792Z',NULL);
INSERT INTO "steps" VALUES(2,'intake from drawings','2026-11-25T13:39:33.732954Z',NULL);
INSERT INTO "steps" VALUES(3,'cut bakers and crates','2026-11-25T13:39:35.310616Z',NULL);
INSERT INTO "steps" VALUES(4,'tag 1 drawing','2026-11-25T13:39:35.563689Z',NULL);
INSERT INTO "steps" VALUES(5,'origin of 1 drawing','2026-11-25T13:39:35.617677Z',NULL);
INSERT INTO "steps" VALUES(6,'collection Bakers','2026-11-25T13:39:35.657595Z',NULL);
INSERT INTO "steps" VALUES(7,'collection Bakers: add 1','2026-11-25T13:39:35.701711Z',NULL);
INSERT INTO "steps" VALUES(8,'licence of Bakers: one artist','2026-11-25T13:39:35.745276Z',NULL);
CREATE TABLE tags (
	id INTEGER NOT NULL, 
	entry_id INTEGER NOT NULL, 
	concept_id INTEGER NOT NULL, 
	source TEXT NOT NULL, 
	state TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_tags PRIMARY KEY (id), 
	CONSTRAINT ck_tags_source CHECK (source IN ('artist', 'file', 'file name', 'job', 'suggestion', 'model', 'picture')), 
	CONSTRAINT ck_tags_state CHECK (state IN ('given', 'suggested', 'taken', 'left')), 
	CONSTRAINT fk_tags_concept_id FOREIGN KEY(concept_id) REFERENCES concepts (id), 
	CONSTRAINT fk_tags_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id), 
	CONSTRAINT uq_tags_entry_id_concept_id UNIQUE (entry_id, concept_id)
);
INSERT INTO "tags" VALUES(1,1,101,'artist','given','2026-11-25T13:39:30.883887Z');
CREATE TABLE uses (
	id INTEGER NOT NULL, 
	version_id INTEGER NOT NULL, 
	job_id INTEGER, 
	shot TEXT, 
	used_at TEXT NOT NULL, 
	CONSTRAINT pk_uses PRIMARY KEY (id), 
	CONSTRAINT fk_uses_job_id FOREIGN KEY(job_id) REFERENCES jobs (id), 
	CONSTRAINT fk_uses_version_id FOREIGN KEY(version_id) REFERENCES versions (id)
);
CREATE TABLE vectors (
	version_id INTEGER NOT NULL, 
	recipe_id INTEGER NOT NULL, 
	data BLOB NOT NULL, 
	CONSTRAINT pk_vectors PRIMARY KEY (version_id, recipe_id), 
	CONSTRAINT fk_vectors_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipes (id), 
	CONSTRAINT fk_vectors_version_id FOREIGN KEY(version_id) REFERENCES versions (id) ON DELETE CASCADE
);
CREATE TABLE versions (
	id INTEGER NOT NULL, 
	uuid TEXT NOT NULL, 
	entry_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	width INTEGER NOT NULL, 
	height INTEGER NOT NULL, 
	ground TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	reason TEXT NOT NULL, 
	CONSTRAINT pk_versions PRIMARY KEY (id), 
	CONSTRAINT fk_versions_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id), 
	CONSTRAINT uq_versions_entry_id_number UNIQUE (entry_id, number), 
	CONSTRAINT uq_versions_uuid UNIQUE (uuid)
);
INSERT INTO "versions" VALUES(1,'0064b029-208a-419a-9574-705e828567bb',1,1,260,260,'white paper','2026-11-25T13:39:30.850767Z','brought in');
INSERT INTO "versions" VALUES(2,'01aa82b7-3e01-45b4-a1d8-25b71b7d7248',3,1,600,260,'white paper','2026-11-25T13:39:33.787127Z','brought in');
INSERT INTO "versions" VALUES(3,'53fac442-62df-40d4-a229-6debbf8b7f92',4,1,191,181,'white paper','2026-11-25T13:39:35.345902Z','brought in');
INSERT INTO "versions" VALUES(4,'43514bc3-0d21-406b-b93a-23536ce6ff11',5,1,201,181,'white paper','2026-11-25T13:39:35.362890Z','brought in');
CREATE INDEX ix_originals_pixel_sha256 ON originals (pixel_sha256);
CREATE INDEX ix_changes_step_id ON changes (step_id);
CREATE INDEX ix_entries_shelf ON entries (role, in_attic);
CREATE INDEX ix_labels_concept_id ON labels (concept_id);
CREATE INDEX ix_labels_folded ON labels (folded);
CREATE INDEX ix_relations_concept_id ON relations (concept_id);
CREATE INDEX ix_relations_other_id ON relations (other_id);
CREATE INDEX ix_arrivals_entry_id ON arrivals (entry_id);
CREATE INDEX ix_arrivals_original_id ON arrivals (original_id);
CREATE INDEX ix_arrivals_source ON arrivals (source);
CREATE INDEX ix_collection_items_entry_id ON collection_items (entry_id);
CREATE INDEX ix_facets_facet_value ON facets (facet, value);
CREATE INDEX ix_tags_concept_id ON tags (concept_id);
CREATE INDEX ix_versions_entry_id ON versions (entry_id);
CREATE INDEX ix_bundle_items_bundle_id ON bundle_items (bundle_id);
CREATE INDEX ix_bundle_items_version_id ON bundle_items (version_id);
CREATE INDEX ix_derived_recipe_id ON derived (recipe_id);
CREATE INDEX ix_descents_child_id ON descents (child_id);
CREATE INDEX ix_descents_parent_id ON descents (parent_id);
CREATE INDEX ix_opening_choices_version_id ON opening_choices (version_id);
CREATE INDEX ix_pair_decisions_b_id ON pair_decisions (b_id);
CREATE INDEX ix_pair_findings_b_id ON pair_findings (b_id);
CREATE INDEX ix_pieces_original_id ON pieces (original_id);
CREATE INDEX ix_pieces_version_id ON pieces (version_id);
CREATE INDEX ix_uses_job_id ON uses (job_id);
CREATE INDEX ix_uses_version_id ON uses (version_id);
PRAGMA writable_schema=OFF;
COMMIT;
